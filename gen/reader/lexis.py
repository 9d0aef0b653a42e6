"""From characters to lines: comments, spaces, block delete, line numbers."""

from __future__ import annotations

import re
from dataclasses import dataclass

from gen.control import Control

_LABEL = re.compile(r"N([0-9]{1,9})(?:\.[0-9]+)?")


@dataclass(slots=True)
class Source:
    """One line: ``code`` has no comments and no spaces and is in capitals; ``label`` is its N number."""

    line: int
    text: str
    code: str
    comments: tuple[str, ...]
    deletable: bool
    label: int | None


class Lexer:
    """Makes a :class:`Source` of a line, by the tables of a control."""

    def __init__(self, control: Control) -> None:
        lexis = control.lexis
        self._delete = lexis.block_delete
        self._tape_mark = lexis.tape_mark
        self._comment = re.compile(
            "|".join(
                f"{re.escape(opening)}(.*?){re.escape(closing)}" if closing else f"{re.escape(opening)}(.*)"
                for opening, closing in lexis.comments
            )
            or r"(?!)"
        )

    def is_tape_mark(self, text: str) -> bool:
        return bool(self._tape_mark) and text.strip().startswith(self._tape_mark)

    def source(self, line: int, text: str) -> Source:
        comments: list[str] = []

        def collect(found: re.Match[str]) -> str:
            comments.append(next(group for group in found.groups() if group is not None).strip())
            return ""

        code = "".join(self._comment.sub(collect, text).split()).upper()
        deletable = bool(self._delete) and code.startswith(self._delete)
        if deletable:
            code = code[len(self._delete) :]
            code = code[1:] if code[:1].isdigit() else code
        label = _LABEL.match(code)
        if label:
            code = code[label.end() :]
        return Source(line, text.strip(), code, tuple(comments), deletable, int(label[1]) if label else None)
