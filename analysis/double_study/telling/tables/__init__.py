"""Tables of a run."""
