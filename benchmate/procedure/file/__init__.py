"""A procedure file read: its keys, values, lines, and all that is wrong with it."""
