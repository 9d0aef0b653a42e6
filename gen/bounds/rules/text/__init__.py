"""What was read: the body as it was generated, and every word understood."""
