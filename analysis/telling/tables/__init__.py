"""The study's tables: one function a table, from counts to a DataFrame with intervals.

``files`` lists those that are written, ``columns`` every column, ``table_file`` is what a written
table is and ``counted`` the plain counts. Imports checking, comparing, asking, lessons and what is below.
"""
