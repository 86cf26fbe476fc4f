"""The full screens beside the bench, one module each."""
