"""The order of one dress, the same for every kind of dresser: from recipe, machine and grid to its plan."""
