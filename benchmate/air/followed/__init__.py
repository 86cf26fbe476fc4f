"""A file that another program writes the shop's temperature to."""
