"""The bench's main screen, its big view, and the keys that record."""
