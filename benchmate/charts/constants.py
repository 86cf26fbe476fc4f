"""The factors that turn moving ranges into control limits.

Source: the published tables of Shewhart chart factors for groups of two; the tests work them out
again from d2 = 2/sqrt(pi) and d3 = sqrt(2 - 4/pi).
"""

MEAN_RANGE = 1.128
"""Mean moving range of two normal values over sigma. The published three decimals, not the exact
2/sqrt(pi): printed charts divide by 1.128, and limits should agree with a handbook's."""

MEDIAN_RANGE = 0.954
"""Median moving range over sigma, for a base with an outlier in it."""

RANGE_LIMIT = 3.267
"""Upper limit of the moving range over the mean moving range (D4 for two values)."""

RANGE_LIMIT_SIGMA = 3.686
"""Upper limit of the moving range over a sigma that is known (d2 + 3 d3 for two values)."""
