"""Reckoners of joints: tenons, tapers, wedges, spacers, glue, clamps and drills."""
