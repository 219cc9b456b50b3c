"""The study's tables: one function a table, from counts to a DataFrame with intervals."""
