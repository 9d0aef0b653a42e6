"""The numbered lines that a program jumps to, told from its text before it is taken apart.

Only such a line has to be looked at by itself for its number's sake; the
others, if they are plain, may go with their neighbours.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from gen.control.model import Control


def target_lines(text: str, control: Control) -> list[int]:
    """The lines whose numbers some jump of ``text`` names, in order; all numbered ones where a jump works it out.

    Comments are not told apart: what they say of jumps can only add lines.
    """
    rules, lexis = control.flow.jumps, control.lexis
    words = [] if rules is None else sorted(rules.words, key=lambda word: -len(word))
    if not words or not any(word in text.upper() for word in words):
        return []
    openings = "|".join(re.escape(opening) for opening, _ in (*lexis.comments, *lexis.messages))
    behind = re.compile(_TARGET % openings, re.IGNORECASE | re.MULTILINE)
    numbers: set[int] = set()
    for jump in re.finditer("|".join(map(re.escape, words)), text, re.IGNORECASE):
        target = behind.match(text, jump.end())
        if target is None:
            return list(_numbered(text, "[0-9]", lexis.block_delete))
        if target["number"]:
            numbers.add(int(target["number"]))
    choice = "|".join(f"0*{number}(?![0-9])" for number in sorted(numbers, reverse=True))
    return list(_numbered(text, choice, lexis.block_delete)) if numbers else []


_TARGET = r"[ \t]*(?:(?:N[ \t]*)?(?P<number>[0-9]{1,9})[ \t\r]*(?=$|\n|%s)|[A-Z_]{2}[A-Z0-9_]*)"
"""What stands behind a jump word: a number and the end of the block or a comment, or a name."""


def _numbered(text: str, choice: str, delete: str) -> Iterator[int]:
    """The lines of ``text`` that begin with a number of the pattern ``choice``."""
    line, done = 1, 0
    for match in re.finditer(
        rf"^[ \t0-9]*(?:{re.escape(delete)})?[ \t0-9]*N[ \t]*(?:{choice})",
        text,
        re.IGNORECASE | re.MULTILINE,
    ):
        line += text.count("\n", done, match.start())
        done = match.start()
        yield line
