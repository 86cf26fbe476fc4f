"""Commands in, events or a refusal out."""
