"""How cures run and warm themselves."""
