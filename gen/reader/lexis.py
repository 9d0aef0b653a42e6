"""From characters to lines: comments, messages, spaces, block delete, line numbers, labels."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache
from typing import TypeAlias

from gen.control.model import Control
from gen.control.tables import Lexis
from gen.reader.tables import once_a_control

_NUMBER = re.compile(r"N([0-9]{1,9})(?:\.[0-9]+)?")
_NAME = re.compile(r"([A-Z_]{2}[A-Z0-9_]*):")


_LONG = 500

_KEPT, _SHORT = 4000, 120
"""How many lines are kept as they were taken apart, and how short they must be: most lines stand in many programs."""


@dataclass(slots=True)
class Source:
    """One line: ``code`` has no comments and no spaces and is in capitals; ``label`` is its N number.

    ``name`` is the label it begins with, ``spaced`` the code with its spaces.
    """

    line: int
    text: str
    code: str
    comments: tuple[str, ...]
    messages: tuple[str, ...]
    deletable: bool
    label: int | None
    name: str
    spaced: str


_Parts: TypeAlias = tuple[str, str, tuple[str, ...], tuple[str, ...], bool, int | None, str, str]


class Lexer:
    """Makes a :class:`Source` of a line, by the tables of a control."""

    def __init__(self, control: Control) -> None:
        lexis = control.lexis
        self._delete = lexis.block_delete
        self._tape_mark = lexis.tape_mark
        self._prefix = lexis.message_prefix.upper()
        self._aside = re.compile("|".join(_asides(lexis)) or r"(?!)", re.IGNORECASE)
        self._pairs = [*lexis.messages, *lexis.comments]
        self._messages = len(lexis.messages)
        self._named = control.flow.jumps is not None and control.flow.jumps.target == "label"
        self._known = lru_cache(_KEPT)(self._parts)

    def is_tape_mark(self, text: str) -> bool:
        return bool(self._tape_mark) and text.strip().startswith(self._tape_mark)

    def source(self, line: int, text: str) -> Source:
        return Source(line, *(self._known(text) if len(text) <= _SHORT else self._parts(text)))

    def _parts(self, text: str) -> _Parts:
        """What a :class:`Source` holds behind its line number."""
        if len(text) > _LONG:
            text = _without_hopeless(text, self._pairs)
        comments: list[str] = []
        messages: list[str] = []

        def collect(found: re.Match[str]) -> str:
            which = found.lastindex or 0
            said = found[which].strip()
            if which <= self._messages:
                messages.append(said)
                return ""
            comments.append(said)
            if self._prefix and said.upper().startswith(self._prefix):
                messages.append(said[len(self._prefix) :].strip())
            return ""

        spaced = self._aside.sub(collect, text).strip().upper()
        code = "".join(spaced.split())
        deletable = bool(self._delete) and code.startswith(self._delete)
        if deletable:
            code = code[len(self._delete) :]
            code = code[1:] if code[:1].isdigit() else code
        number = _NUMBER.match(code)
        if number:
            code = code[number.end() :]
        name = _NAME.match(code) if self._named else None
        if name:
            code = code[name.end() :]
        return (
            text.strip(),
            code,
            tuple(comments),
            tuple(messages),
            deletable,
            int(number[1]) if number else None,
            name[1] if name else "",
            spaced,
        )


def _without_hopeless(text: str, pairs: Iterable[tuple[str, str]]) -> str:
    """``text`` with "?" where a comment opens that nothing ends: each would be followed to the line's end."""
    for opening, closing in pairs:
        if closing:
            last = text.rfind(closing)
            end = last + len(closing) if last >= 0 else 0
            text = text[:end] + text[end:].replace(opening, "?" * len(opening))
    return text


def _asides(lexis: Lexis) -> list[str]:
    """A pattern with one group for each kind of message, then for each kind of comment."""
    messages = [
        rf"{re.escape(opening)}([^{re.escape(closing[:1])}]*+){re.escape(closing)}"
        for opening, closing in lexis.messages
    ]
    comments = [f"{re.escape(opening)}({_inside(closing)}){re.escape(closing)}" for opening, closing in lexis.comments]
    return messages + comments


def _inside(closing: str) -> str:
    """A pattern of what stands before ``closing``, without a way back: a line full of openings is read soon."""
    match len(closing):
        case 0:
            return ".*"
        case 1:
            return f"[^{re.escape(closing)}]*+"
        case _:
            return ".*?"


lexer_of = once_a_control(Lexer)
