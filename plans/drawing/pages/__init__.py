"""What stands on pages beside a drawing: text, the legend, marks that join sheets."""
