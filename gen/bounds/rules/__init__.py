"""One rule a file."""
