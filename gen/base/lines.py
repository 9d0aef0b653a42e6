"""A text in lines as controls count them, so that every message means the same line."""

from __future__ import annotations


def lines_of(text: str) -> list[str]:
    """The lines of ``text`` without their ends: a line feed, or a carriage return before one, and nothing else."""
    lines = text.replace("\r\n", "\n").split("\n")
    return lines[:-1] if lines[-1] == "" else lines
