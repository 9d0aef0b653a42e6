"""What to use in place of numbers that are right only once."""

INSTEAD = "use registers or a dresser set to a stand-off, or generate anew before each dress"
