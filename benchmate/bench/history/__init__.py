"""What is behind us: the logbook, ended jobs, what they teach, notes for next time."""
