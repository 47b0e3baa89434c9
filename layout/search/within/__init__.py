"""Searches within a length that is given."""
