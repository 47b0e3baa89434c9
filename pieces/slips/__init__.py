"""Slips of typing in TOML files: found, explained, and put right for the sake of reading on."""
