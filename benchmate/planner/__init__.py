"""The day sheet: when each step of all jobs is to be done with one pair of hands in shop hours.

Pure but for `process.py`, which runs the solver in a process of its own.
"""
