"""Deals that teach: boards, lessons and Portable Bridge Notation."""
