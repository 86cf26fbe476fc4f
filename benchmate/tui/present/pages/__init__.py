"""Presenters of the pages."""
