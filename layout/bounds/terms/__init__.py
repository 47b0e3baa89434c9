"""What all arguments speak of: a bound, a relaxation, the profile of a piece."""
