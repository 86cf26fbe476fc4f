"""The shop: shelf, air, scales, reminders, calculators."""
