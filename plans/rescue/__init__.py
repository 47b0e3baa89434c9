"""What would rescue a garment for which the cloth on hand is too short: ideas, really planned."""
