"""A whole program text: wrapper, marks, heading, cautions, body and digest."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from functools import lru_cache
from textwrap import wrap

from gen.control.dialect import Dialect
from gen.control.model import Control
from gen.control.render import clean, comment
from gen.control.seal import MarkKind, begin_mark, digest, end_mark, unmarked
from gen.shop.edition import Form

_NUMBER = re.compile(r"N(\d+)", re.IGNORECASE)


def assemble(
    body: Sequence[str],
    *,
    number: int,
    title: str,
    heading: Iterable[str],
    form: Form,
    kind: MarkKind = "DRESS",
    dialect: Dialect,
    taken: Iterable[int] = (),
) -> str:
    """The text of a program whose block has the lines ``body``, with ``heading`` as comments before them.

    ``taken`` are line numbers that what stands around it has already.
    """
    control, words = dialect.control, dialect.words
    parts = [part for text in heading for part in wrapped(text, control.lexis.comment_length)]
    lead = [unmarked(comment(part, control, words)) for part in parts]
    lines = sealed([*lead, *body], kind=kind, number=number, dialect=dialect, taken=taken)
    if form != "block":
        start = words.say(f"{form}_start", number=number, title=unmarked(clean(title, control)))
        end = words.say(f"{form}_end", number=number)
        lines = [*start.splitlines(), *lines, *end.splitlines()]
    return control.lexis.line_ending.join([*lines, ""])


@lru_cache(maxsize=500)
def wrapped(text: str, width: int) -> tuple[str, ...]:
    """``text`` in lines; no line but the first can begin as the text pleases."""
    return tuple(wrap(text, width, subsequent_indent="- "))


def sealed(
    inside: Sequence[str], *, kind: MarkKind, number: int, dialect: Dialect, taken: Iterable[int] = ()
) -> list[str]:
    """The lines ``inside``, numbered where the machine's programs are, between the marks of ``kind``."""
    control, words = dialect.control, dialect.words
    lines = list(inside)
    if dialect.number_step:
        lines = list(_numbered(lines, dialect.number_step, _leads(control), taken))
    return [
        comment(begin_mark(kind, number, digest(lines)), control, words),
        *lines,
        comment(end_mark(kind, number), control, words),
    ]


def _leads(control: Control) -> tuple[str, ...]:
    """What a line begins with that can have no sequence number before it."""
    lexis, flow = control.lexis, control.flow
    structured = "" if flow.o_words is None else flow.o_words.letter
    marks = ("N", lexis.tape_mark, lexis.block_delete, structured, *flow.program_letters)
    return tuple(filter(None, (*marks, *(opening for opening, _ in lexis.comments))))


def _numbered(lines: Sequence[str], step: int, leads: tuple[str, ...], others: Iterable[int]) -> Iterator[str]:
    """``lines`` with sequence numbers, but where a line begins with a number, a comment or a mark of its own.

    A number that is a line's own already, or one of ``others``, is left out: a jump might go to it.
    """
    taken = {int(found[1]) for line in lines if (found := _NUMBER.match(line))} | set(others)
    count = step
    for line in lines:
        if line.upper().startswith(leads):
            yield line
            continue
        while count in taken:
            count += step
        yield f"N{count} {line}"
        count += step
