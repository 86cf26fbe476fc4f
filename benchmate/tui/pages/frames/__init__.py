"""What pages are built from: a page, a list, a form, a text to read."""
