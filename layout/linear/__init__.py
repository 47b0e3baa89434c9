"""Linear programmes: how the general-purpose solver is asked, in one place."""
