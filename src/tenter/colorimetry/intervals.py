"""How a 90 % interval of a normal error and its standard deviation go together, and how far squared errors reach.

Points of these distributions come from scipy.special: scipy.stats, which has them too, takes half a second to load.
"""

from scipy.special import gammaincinv

# Standard deviations from the middle to either end of it: the normal quantile of 0.95, 1.644854 (JCGM 100:2008, table
# G.1, has 1.645).
DEVIATIONS_TO_90 = 1.6449


def chi_square_point(share: float, freedom: int) -> float:
    """Return what chi squared of so many degrees of freedom stays below with a probability, `share`, of 0 to 1.

    Source: half of it is a gamma variable of half as many degrees (NIST/SEMATECH e-Handbook, 1.3.6.6.6).
    """
    return 2 * float(gammaincinv(freedom / 2, share))
