"""The bidding: each step an ordered table of rules, each rule written once.

``rules`` says what a table is, ``stages`` what each step looks at, ``auction`` runs them all over
many deals, ``call_by_call`` writes one auction out. Imports agreements and what is below.
"""
