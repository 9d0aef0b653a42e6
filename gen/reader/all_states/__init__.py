"""A program read over all states at once: its registers are unknowns, its values formulas over them.

A run forks where a condition can go either way, so that every state belongs to
exactly one path, and a plan that is worked out on the same path has to do the
same steps with the same formulas. What cannot be followed is said, and never
taken to be right.
"""
