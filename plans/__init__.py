"""The answer: planner, yardage and cost, leftovers, diagrams, reports, the command line."""
