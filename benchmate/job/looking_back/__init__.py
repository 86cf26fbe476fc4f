"""What an ended job leaves behind for comparing and learning."""
