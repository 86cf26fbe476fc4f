"""Sentences made from state."""
