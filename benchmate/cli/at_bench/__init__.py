"""What is said while working: steps, weights, clocks."""
