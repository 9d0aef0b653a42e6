"""The neutral tree of a dress: expressions, nodes, steps, rounding, and what it comes to at one state."""
