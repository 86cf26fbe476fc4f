"""Care of the journal: copies, verifying, rescue, moving to another laptop."""
