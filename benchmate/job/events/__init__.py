"""What can happen, as it is stored."""
