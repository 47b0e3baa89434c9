"""Edits as done on paper: each takes a draft and gives a draft, or refuses with a reason."""
