"""How sure a weighing is, and what a piece will weigh."""
