"""Compiled inner loops of proofs (`layout.proofs`): branches of all ways to lay a few units."""
