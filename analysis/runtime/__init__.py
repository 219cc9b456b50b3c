"""Workers, clusters, locks and writing all or nothing.

Knows no bridge.
Imports nothing of the package but errors.
"""
