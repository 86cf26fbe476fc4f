"""What stands on the shelf: labels, stock, cups mixed from it and their heat."""
