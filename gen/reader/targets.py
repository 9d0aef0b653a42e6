"""The numbered lines that a program jumps to, told from its text before it is taken apart.

Only such a line has to be looked at by itself for its number's sake; the
others, if they are plain, may go with their neighbours.
"""

from __future__ import annotations

import re

from gen.control.model import Control


def target_lines(text: str, control: Control) -> list[int] | None:
    """The lines whose numbers some jump of ``text`` names, in order; None where a jump works its target out.

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
            return None
        if target["number"]:
            numbers.add(int(target["number"]))
    return list(_numbered(text, numbers, lexis.block_delete)) if numbers else []


_TARGET = r"[ \t]*(?:(?:N[ \t]*)?(?P<number>[0-9]{1,9})[ \t\r]*(?=$|\n|%s)|[A-Z_]{2}[A-Z0-9_]*)"
"""What stands behind a jump word: a number and the end of the block or a comment, or a name."""


def _numbered(text: str, numbers: set[int], delete: str) -> list[int]:
    """The lines of ``text`` that begin with one of ``numbers``."""
    choice = "|".join(str(number) for number in sorted(numbers, reverse=True))
    found, line, done = [], 1, 0
    for match in re.finditer(
        rf"^[ \t0-9]*(?:{re.escape(delete)})?[ \t0-9]*N[ \t]*0*(?:{choice})(?![0-9])",
        text,
        re.IGNORECASE | re.MULTILINE,
    ):
        line += text.count("\n", done, match.start())
        done = match.start()
        found.append(line)
    return found
