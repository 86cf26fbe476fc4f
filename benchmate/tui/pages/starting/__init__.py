"""Screens before a job begins: its procedure, sizes and materials."""
