"""Workers, clusters, locks, writing all or nothing, and how the study is built.

Knows no bridge.
Imports nothing of the package but errors.
"""
