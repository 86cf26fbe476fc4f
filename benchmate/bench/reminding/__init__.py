"""Reminding, wired to the service: what is due, the thread that says it, what was missed."""
