"""Parts, hollows and fills of a file as volumes, masses and amounts."""
