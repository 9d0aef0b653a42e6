"""The modes that the block states, moves in, and leaves."""
