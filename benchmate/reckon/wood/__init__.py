"""Wood, the water in it, and the air around it."""
