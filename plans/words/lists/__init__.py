"""Lists of the shelves and of the stash as plain text."""
