"""Papers of a job or procedure, made from what the shop knows, and written out."""
