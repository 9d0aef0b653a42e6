"""The shape of the stick's end, and the other wheels of a pack beside it."""
