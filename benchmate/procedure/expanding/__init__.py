"""From a loaded procedure to the plan that a job is frozen to."""
