"""What may happen while stick and wheel meet, and how they part."""
