"""A shop that works by itself, for the demo and for trying things out."""
