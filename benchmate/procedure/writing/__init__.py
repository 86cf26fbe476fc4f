"""Files written: one to begin with, a note at its step, another one bigger."""
