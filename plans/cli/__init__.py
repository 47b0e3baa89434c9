"""The command line: one module for each command, which parses, calls and prints, and nothing else.

`main` lists them, `common` has what they share, `stash` the commands of a group of its own.
"""
