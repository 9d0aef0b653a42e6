"""A whole program text: wrapper, marks, heading, cautions, body and digest."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from textwrap import wrap

from gen.compose import Form
from gen.dialect import Dialect
from gen.render import clean, comment
from gen.seal import Kind, begin_mark, digest, end_mark, unmarked

_LEADS = re.compile(r"^[NO%/:(]", re.IGNORECASE)


def assemble(
    body: Sequence[str],
    *,
    number: int,
    title: str,
    heading: Iterable[str],
    form: Form,
    kind: Kind = "DRESS",
    dialect: Dialect,
) -> str:
    """The text of a program whose block has the lines ``body``, with ``heading`` as comments before them."""
    control, words = dialect.control, dialect.words
    parts = [part for text in heading for part in wrap(text, control.lexis.comment_length)]
    lead = [unmarked(comment(part, control, words)) for part in parts]
    inside = [*lead, *body]
    if dialect.number_step:
        inside = list(_numbered(inside, dialect.number_step))
    marked = [
        comment(begin_mark(kind, number, digest(inside)), control, words),
        *inside,
        comment(end_mark(kind, number), control, words),
    ]
    lines = marked
    if form != "block":
        start = words.say(f"{form}_start", number=number, title=unmarked(clean(title, control)))
        end = words.say(f"{form}_end", number=number)
        lines = [*start.splitlines(), *marked, *end.splitlines()]
    return control.lexis.line_ending.join([*lines, ""])


def _numbered(lines: Sequence[str], step: int) -> Iterator[str]:
    """``lines`` with sequence numbers, but where a line begins with a number, a comment or a mark of its own."""
    count = step
    for line in lines:
        if _LEADS.match(line):
            yield line
        else:
            yield f"N{count} {line}"
            count += step
