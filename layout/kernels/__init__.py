"""Compiled inner loops on plain arrays; each keeps a plain Python twin under the same tests."""
