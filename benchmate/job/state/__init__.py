"""What is known of a job and of the shop, made from events alone."""
