"""Sentences that read the tables."""
