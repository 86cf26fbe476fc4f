"""The day sheet at the bench: asking the planner, reading plans, living with the adopted one."""
