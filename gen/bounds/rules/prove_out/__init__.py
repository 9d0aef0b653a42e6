"""A prove-out: the same motion with the stick held off."""
