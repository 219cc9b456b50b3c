"""The responder's double, counted: a sampled study held against exact arithmetic."""
