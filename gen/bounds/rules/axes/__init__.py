"""What each axis can do."""
