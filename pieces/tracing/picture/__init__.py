"""What is seen in a photograph: paper, its rim to a fraction of a pixel, marks, crosses."""
