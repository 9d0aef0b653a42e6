"""A call of the dress in place of the block: the text of the subprogram stands elsewhere, and is read along."""

from __future__ import annotations

from gen.control.model import Control
from gen.host.text import HostLines
from gen.reader import lower
from gen.reader.lexis import Lexer


def with_subprogram(
    program: HostLines, dress: range, call: int, subprogram: str, control: Control, number: int
) -> tuple[HostLines, tuple[range, ...]]:
    """``program`` with ``subprogram`` in the same text, and the lines of that text which belong to the dress.

    ``dress``: the lines put into ``program``, of which ``call`` calls. The
    subprogram goes to the end of the text, as a control that keeps both reads
    them; where subprograms are files without a number of their own, its lines
    take the place of the call.
    """
    if str(number) in lower(program.text, control).programs:
        return program, (dress,)
    mark = control.lexis.tape_mark
    lines = [line for line in HostLines(subprogram).bare if not _starts(line, mark)]
    last = len(program)
    while last and (not program.line(last).strip() or _starts(program.line(last), mark)):
        last -= 1
    both = program.with_lines(last, lines)
    if str(number) in lower(both.text, control).programs:
        return both, (dress, range(last + 1, last + 1 + len(lines)))
    kept = [line for line in lines if not _returns(line, control)]
    both = program.without(call, call).with_lines(call - 1, kept)
    return both, (range(dress.start, dress.stop - 1 + len(kept)),)


def _starts(line: str, mark: str) -> bool:
    return bool(mark) and line.strip().startswith(mark)


def _returns(line: str, control: Control) -> bool:
    rules = control.flow.subprograms
    return rules is not None and Lexer(control).source(1, line).code in (rules.ends, *rules.also_ends)
