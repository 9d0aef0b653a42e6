"""How hard the stick is pressed: aggressiveness, feed, removal, and the overrides that change them."""
