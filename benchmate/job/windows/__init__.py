"""Every clock as a window, and what needs hands now."""
