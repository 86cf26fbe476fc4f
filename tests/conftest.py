"""What holds for the whole suite."""

from hypothesis import settings

# A deadline would be a timing assertion: a busy machine is no fault of the program.
settings.register_profile("untimed", deadline=None)
settings.load_profile("untimed")
