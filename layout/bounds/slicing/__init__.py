"""A linear programme over slices of the lay."""
