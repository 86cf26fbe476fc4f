"""How much wood is left around a pocket."""
