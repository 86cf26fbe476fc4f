"""Jobs and procedures."""
