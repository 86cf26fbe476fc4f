"""The screens. Only commands that open one import this package."""
