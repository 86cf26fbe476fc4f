"""What leaves the bench on paper or as a file: each paper a function from plain values to bytes."""
