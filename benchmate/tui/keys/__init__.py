"""Keys: what each means on every screen, what they are called, and how they come in."""
