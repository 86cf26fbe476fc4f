"""The commands: thin, and without the screens unless one opens them."""
