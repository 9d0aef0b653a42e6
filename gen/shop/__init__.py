"""What the machine file and the recipe say, and what they must agree on."""
