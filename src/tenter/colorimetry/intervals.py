"""How a 90 % interval of a normal error and its standard deviation go together."""

# Standard deviations from the middle to either end of it: the normal quantile of 0.95, 1.644854 (JCGM 100:2008, table
# G.1, has 1.645).
DEVIATIONS_TO_90 = 1.6449
