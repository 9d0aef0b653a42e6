"""Programs that the grinding program calls and that are kept in files of their own, a dress too: all read along."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from pathlib import PurePath

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError
from gen.base.finding import Finding
from gen.control.model import Control
from gen.host.text import HostLines
from gen.reader import lower
from gen.reader.program import program_name


@dataclass(frozen=True)
class Joined:
    """A grinding program with the files of programs that it calls, as a control that keeps all of them reads it.

    ``text`` has their lines behind those of the program; ``tail`` is what the program ended with before them.
    """

    text: str
    tail: str
    files: tuple[tuple[str, int], ...] = ()
    """Each file, and how many lines are read along for it: one more than it has."""
    open_end: bool = False
    """Whether the program's last line had no line end."""

    @property
    def added(self) -> int:
        return sum(count for _, count in self.files)

    def taken_apart(self, text: str) -> str:
        """``text``, which is :attr:`text` with a dress in it, as the grinding program alone."""
        if not self.files:
            return text
        lines = HostLines(text)
        kept = lines.part(1, len(lines) - self.added)
        return (kept.removesuffix(lines.end) if self.open_end else kept) + self.tail

    def placed(self, finding: Finding, text: str) -> Finding:
        """``finding``, whose line is one of ``text``, with the file named where it lies in one of them."""
        if finding.line is None or not self.files:
            return finding
        at = finding.line - (len(HostLines(text)) - self.added)
        for name, count in self.files:
            if 0 < at <= count:
                return replace(finding, line=None, message=f"{name}, line {max(at - 1, 1)}: {finding.message}")
            at -= count
        return finding


def joined(text: str, files: Sequence[tuple[PurePath, str]], control: Control) -> Joined:
    """``text`` with the programs in ``files``, each a path and what it holds.

    :class:`DressblockError` where a file holds no program that could be called.
    """
    if not files:
        return Joined(text, "")
    program, mark = HostLines(text), control.lexis.tape_mark
    last = len(program)
    while last and (not program.line(last).strip() or _is_mark(program.line(last), mark)):
        last -= 1
    head = HostLines(program.part(1, last))
    open_end = not head.text.endswith("\n")
    counts: list[tuple[str, int]] = []
    for path, held in files:
        lines = _program(path, held, control)
        counts.append((str(path), len(lines)))
        head = head.with_lines(len(head), lines)
    return Joined(head.text, program.part(last + 1, len(program)), tuple(counts), open_end)


def with_subprogram(
    program: HostLines, dress: range, subprogram: str, control: Control, number: int
) -> tuple[HostLines, tuple[range, ...]]:
    """``program`` with ``subprogram``, which it calls by its ``number``, and the lines of both that are the dress's.

    ``dress``: the lines of the call, and what else was put into ``program`` with it.
    """
    if str(number) in lower(program.text, control).programs:
        return program, (dress,)
    whole = joined(program.text, [(PurePath(str(number)), subprogram)], control)
    both = HostLines(whole.text)
    return both, (dress, range(len(both) - whole.added + 1, len(both) + 1))


def _program(path: PurePath, held: str, control: Control) -> list[str]:
    """The lines of the program in ``path``; in front a line that names it, where only the file's name does."""
    mark = control.lexis.tape_mark
    # a mark in the midst of the whole text would end it; an empty line keeps the numbers of the others
    lines = ["" if _is_mark(line, mark) else line for line in HostLines(held).bare]
    if lower("\n".join(lines), control).programs:
        return ["", *lines]
    begins = _beginning(path.stem, control)
    if not begins:
        raise DressblockError("this file holds no program that another could call.", file=path)
    return [begins, *lines]


def _beginning(stem: str, control: Control) -> str:
    """The words that begin the program kept as ``stem``; empty where a control has none."""
    number = program_name(stem.upper())
    if control.flow.program_letter:
        return f"{control.flow.program_letter}{number}" if number.isdigit() else ""
    return control.flow.headings[-1].replace("{name}", stem.upper()) if control.flow.headings else ""


def _is_mark(line: str, mark: str) -> bool:
    return bool(mark) and line.strip().startswith(mark)
