"""Presenters: pure functions from the bench's state to lines of text. No widget, no clock."""
