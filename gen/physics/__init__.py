"""The physics, over numbers and expressions alike: contact, lanes, the end of the stick, grains and gaps."""
