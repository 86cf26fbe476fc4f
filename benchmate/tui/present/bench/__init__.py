"""Presenters of the bench's main screen."""
