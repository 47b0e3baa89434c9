"""The command line: one module for each command, all of them thin."""
