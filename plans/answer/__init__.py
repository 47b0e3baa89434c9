"""From an order to a plan: searched, validated, with every figure that it states."""
