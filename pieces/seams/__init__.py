"""Seams: edges that are sewn together, walked along each other before any cloth is cut."""
