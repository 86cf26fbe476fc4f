"""From a procedure to a running job, and back to a file."""
