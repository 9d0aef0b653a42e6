"""dressblock: plunge-and-retract NC blocks for stick dressing, checked before they are written."""

__version__ = "0.1.0"
