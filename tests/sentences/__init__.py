"""Every sentence the program can say, in one file that a person can proofread."""
