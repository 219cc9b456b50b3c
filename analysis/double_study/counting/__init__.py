"""Blocks of deals counted over workers into one tally."""
