"""A thousand simulated jobs: does what the bench says of weights come true?

`shop` is the world: it knows nothing of benchmate and makes wood, shot, resin, scales and a
maker's hand by its own rules. `maker` works a pair of bookends through that world with benchmate's
advice or without it. `tally` counts. Run `python -m tests.sim` for the table.
"""
