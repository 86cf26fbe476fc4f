"""What was recorded, and whether all of it works."""
