"""The search over folds: one fabric's pieces laid in every fold, the best of them chosen."""
