"""Reckoners of the lathe, and of where a piece balances."""
