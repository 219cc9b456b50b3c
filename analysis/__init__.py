"""The responder's double, counted: a sampled study compared with exact arithmetic."""
