"""Weighing, and where a piece's weight is heading, for both front doors."""
