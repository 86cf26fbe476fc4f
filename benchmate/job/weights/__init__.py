"""A job's weighings judged against its plan: the one bridge to `landing`."""
