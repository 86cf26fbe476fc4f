"""Reckoners of finishes."""
