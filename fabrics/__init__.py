"""What pieces are cut from: fabrics, spreads, shrinkage and buying rules."""
