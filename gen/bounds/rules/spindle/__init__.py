"""The wheel's speed and sense, and coolant, at contact."""
