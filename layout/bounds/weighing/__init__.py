"""Arguments that weigh widths by dual feasible functions."""
