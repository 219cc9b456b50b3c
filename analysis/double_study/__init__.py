"""The negative double, counted: deals at random, bid by written rules, counted, and checked exactly."""
