"""What a person at the cutting table is told, step by step."""
