"""What past jobs teach the next one: pure values and functions, nothing stored and no clock."""
