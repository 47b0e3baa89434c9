"""Orders: what is asked for, typed or in an order file, made into an order and a plan."""
