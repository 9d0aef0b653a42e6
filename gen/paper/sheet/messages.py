"""Every message that the control can show during a dress, from the guards of the plan."""

from __future__ import annotations

from collections.abc import Sequence

from gen.base.dataclass import dataclass
from gen.control.draft import Program
from gen.control.render import clean
from gen.plan.expression import Var
from gen.plan.node import Guard, Warn, walk


@dataclass(frozen=True, slots=True)
class Message:
    """The messages about registers of one ``kind``: their ``texts`` as the control shows them, and their ``numbers``.

    Of a register that has two messages the second is told from where it differs. ``kind`` is
    ``in_progress``, ``stick_length``, ``next_lane``, ``size``, that of a wheel, or ``stick_low`` and
    ``dress_left_out``, after which the program goes on.
    """

    kind: str
    texts: tuple[str, ...]
    numbers: tuple[str, ...]


def messages(program: Program) -> tuple[Message, ...]:
    """The messages of ``program``, in the order in which its guards look."""
    texts: dict[str, list[str]] = {}
    for node in walk(program.plan.nodes):
        if isinstance(node, Guard) and isinstance(node.condition.left, Var):
            texts.setdefault(node.condition.left.name, []).append(clean(node.message, program.dialect.control))
    kinds: dict[str, list[str]] = {}
    for name in texts:
        kinds.setdefault("size" if name in program.dress.sizes else name, []).append(name)
    refusals = (
        Message(
            kind=kind,
            texts=tuple(_together(texts[name]) for name in names),
            numbers=tuple(str(program.plan.registers[name]) for name in names),
        )
        for kind, names in kinds.items()
    )
    control, numbers = program.dialect.control, (str(program.plan.registers.get("stick_length", "")),)
    warnings = (
        Message(kind, (clean(node.message, control) if node.shown else control.codes[kind],), numbers)
        for node in walk(program.plan.nodes)
        if isinstance(node, Warn)
        for kind in (node.meaning.replace("-", "_"),)
    )
    return (*refusals, *warnings)


def _together(texts: Sequence[str]) -> str:
    """``texts`` on one line, the words with which all begin behind their numbers told once."""
    words = [text.split() for text in texts]
    columns = list(zip(*words, strict=False))
    same = next((at for at, column in enumerate(columns) if at and len(set(column)) > 1), 1)
    return " / ".join([texts[0], *(" ".join([one[0], "…", *one[same:]]) for one in words[1:])])
