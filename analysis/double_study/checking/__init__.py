"""Counts compared with exact values and with published claims."""
