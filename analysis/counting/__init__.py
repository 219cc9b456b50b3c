"""Blocks of deals over workers to one tally: what is counted, stores, stopping, provenance.

Imports bidding and what is below; knows nothing of exact.
"""
