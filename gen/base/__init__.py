"""What knows nothing of the trade: errors, quantities, files, languages, several files at a time."""
