"""Where pieces go: the layout problem, its solver, the independent validator and the bounds."""
