"""Reaching the maker: what is due to be said, by which channel, how often, until it is heard."""
