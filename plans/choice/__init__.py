"""Which fold is taken, and which of its layouts is drawn once the purchase is settled."""
