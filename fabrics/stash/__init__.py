"""The stash: cloth on hand, leftovers, cuts made and plans kept, in one SQLite file."""
