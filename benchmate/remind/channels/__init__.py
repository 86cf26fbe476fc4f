"""The ways a reminder can reach the maker."""
