"""I cut this: what recording a cut changes, the tags to write, and undoing it."""
