"""What the bench says of weights: pieces, levels, how they land, a live scale."""
