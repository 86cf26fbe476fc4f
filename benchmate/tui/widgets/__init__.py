"""Widgets: they paint lines and pass keys on; they decide nothing."""
