"""The jobs behind the commands: generate, check, trace, splice, limits, drift, and their reports."""
