"""What was: the logbook, jobs like this one, charts, two ways compared, care of the record."""
