"""From what one fabric must yield to a layout problem: demands, places, phases, spreads."""
