"""Reckoners of the order of work and its time."""
