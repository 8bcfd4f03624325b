"""Statistics of judgements: likelihoods, a posterior on a lattice, and the next most informative comparison.

Arrays in, arrays out. Nothing here knows the trade's words, files or the clock; randomness arrives as a generator.
"""
