"""benchmate: a bench assistant for weighted wooden pieces."""

__version__ = "0.1.0"
