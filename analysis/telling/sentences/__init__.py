"""Sentences that read tables and figures: built from the tables, so that they hold for every run."""
