"""A gap check: the wheel stands still, and the stick stops short of it by a gap that somebody measures."""
