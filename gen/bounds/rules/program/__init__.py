"""What surrounds the dress: a program of ours does nothing else, and a host goes on as it was."""
