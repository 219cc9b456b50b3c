"""The bidding: each step an ordered table of rules, each rule written once."""
