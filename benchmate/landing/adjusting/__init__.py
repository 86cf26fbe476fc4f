"""What changes to the layers still to come would land a piece, and how that is said."""
