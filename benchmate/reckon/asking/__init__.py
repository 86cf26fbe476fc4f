"""How a reckoner is described, asked and answered."""
