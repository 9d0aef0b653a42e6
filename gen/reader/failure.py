"""What goes wrong inside a reading. None of it leaves the package."""

from __future__ import annotations


class NotUnderstood(Exception):
    """Text that follows no rule this control has; ``str()`` says why."""


class Alarm(Exception):
    """The control itself would stop here: a division by zero, a jump to nowhere."""


class Undecided(Exception):
    """Where the program goes on depends on a value that the reader cannot know; ``str()`` says which."""


class OutOfBudget(Exception):
    """A run has grown past its budget; ``str()`` says which."""
