"""Proofs that some pieces cannot be laid on less cloth, by ruling out all their places."""
