"""Constructs that one line opens and a later one ends: what is jumped over, gone round, and left open."""

from __future__ import annotations

from dataclasses import field

from gen.base.dataclass import dataclass
from gen.reader.builder import Builder
from gen.reader.expressions import Code, combine, load, parts_of
from gen.reader.failure import NotUnderstood
from gen.reader.lexis import Source
from gen.reader.operators import operator
from gen.reader.program import EndOfText, Jump, JumpIf


@dataclass
class Open:
    """A construct whose end has not come yet.

    ``top`` begins a round. ``skip`` jumps where the condition does not hold, ``ends`` to behind the end, ``rounds`` to
    the next round. ``otherwise``: its else has been. ``counter`` is the variable that counts its rounds.
    """

    kind: str
    name: str
    source: Source
    top: int
    skip: JumpIf | None = None
    ends: list[Jump] = field(default_factory=list)
    rounds: list[Jump] = field(default_factory=list)
    otherwise: bool = False
    counter: int | str | None = None


class Nesting:
    """The constructs of one way of directing flow that are open, the innermost last."""

    _unended = "this {0.kind} has no end"

    def __init__(self, builder: Builder) -> None:
        self._builder = builder
        self._open: list[Open] = []

    def finish(self) -> None:
        for opened in self._open:
            self._builder.unread(opened.source, self._unended.format(opened))
        if self._open:
            self._builder.emit(EndOfText(self._open[-1].source.line))
            for opened in self._open:
                self._leave(opened)

    def _enter(self, kind: str, source: Source, condition: Code | None = None, name: str = "") -> Open:
        """Opens a construct, which is left where ``condition`` does not hold."""
        opened = Open(kind, name, source, self._builder.here())
        self._skip(opened, source, condition)
        self._open.append(opened)
        return opened

    def _skip(self, opened: Open, source: Source, condition: Code | None) -> None:
        opened.skip = None if condition is None else JumpIf(source.line, condition, when=False)
        if opened.skip is not None:
            self._builder.emit(opened.skip)

    def _innermost(self, kind: str, why: str, name: str = "") -> Open:
        """The construct that is open innermost; :class:`NotUnderstood`, which says ``why``, if it is another one."""
        if not self._open or (self._open[-1].kind, self._open[-1].name) != (kind, name):
            raise NotUnderstood(why)
        return self._open[-1]

    def _jump(self, source: Source, target: int = -1) -> Jump:
        jump = Jump(source.line, target)
        self._builder.emit(jump)
        return jump

    def _branch(self, opened: Open, source: Source, otherwise: str) -> None:
        """Ends one branch of ``opened``; where its condition did not hold, the program goes on here."""
        if opened.otherwise:
            raise NotUnderstood(f"the {otherwise} of this {opened.kind} has been already")
        opened.ends.append(self._jump(source))
        if opened.skip is not None:
            opened.skip.target = self._builder.here()
            opened.skip = None

    def _leave(self, opened: Open) -> None:
        """Whatever leaves ``opened`` goes on here."""
        for jump in (*opened.ends, opened.skip):
            if jump is not None:
                jump.target = self._builder.here()

    def _go_round(self, opened: Open, source: Source) -> None:
        """Ends a round of ``opened``; whatever leaves it goes on behind that."""
        for jump in opened.rounds:
            jump.target = opened.top
        self._jump(source, opened.top)
        self._leave(opened)


def combined(register: int | str, meaning: str, other: Code) -> Code:
    """What the operator ``meaning`` makes of ``register`` and ``other``."""
    return (load(register), *parts_of(other), combine(operator(meaning, 0.0)))
