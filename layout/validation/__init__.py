"""The parts of the independent validator, one rule of the design in each."""
