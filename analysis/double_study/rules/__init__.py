"""Each step of the auction as an ordered table of rules."""
