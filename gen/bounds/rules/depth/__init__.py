"""How deep a plunge goes, and how often."""
