"""What is done in processes of their own: a plan, what would rescue it, and what they tell."""
