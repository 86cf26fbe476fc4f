"""What a weighing is worth, and what a piece will weigh."""
