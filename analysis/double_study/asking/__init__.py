"""A hand and an auction: the call, the reason and the odds."""
