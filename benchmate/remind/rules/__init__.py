"""What is said of each edge, when, where and how: rules without a clock, a file or a thread."""
