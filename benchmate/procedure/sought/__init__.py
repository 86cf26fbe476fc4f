"""Sizes that the plan finds by itself: a parameter left open for one named goal."""
