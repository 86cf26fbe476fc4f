"""What asks for one answer and goes."""
