"""What a procedure expands to: steps, windows and amounts as numbers, with an address for each."""
