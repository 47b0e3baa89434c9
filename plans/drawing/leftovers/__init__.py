"""Drawings of what is left over: its outline on a lay, on a sheet, and with what is cut from it."""
