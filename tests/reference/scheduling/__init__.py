"""Published scheduling instances, their readers, and a checker of plans."""
