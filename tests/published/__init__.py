"""Checks against sources from outside: a table a topic, each row with the printed value and where it stands."""
