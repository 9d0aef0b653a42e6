"""Every message that the control can show during a dress, from the guards of the plan."""

from __future__ import annotations

from collections.abc import Sequence
from types import SimpleNamespace

from gen.control.draft import Program
from gen.control.render import clean
from gen.plan.expression import Var
from gen.plan.node import Guard, Warn, walk


def messages(program: Program) -> list[SimpleNamespace]:
    """The messages of ``program``, in the order in which its guards look.

    Those about registers of one ``kind`` together: their ``texts`` as the control shows them, and their ``numbers``. Of
    a register that has two messages the second is told from where it differs. ``kind`` is ``in_progress``,
    ``stick_length``, ``next_lane``, ``size``, that of a wheel, or ``stick_low`` and ``dress_left_out``, after which the
    program goes on.
    """
    texts: dict[str, list[str]] = {}
    for node in walk(program.plan.nodes):
        if isinstance(node, Guard) and isinstance(node.condition.left, Var):
            texts.setdefault(node.condition.left.name, []).append(clean(node.message, program.dialect.control))
    kinds: dict[str, list[str]] = {}
    for name in texts:
        kinds.setdefault("size" if name in program.dress.sizes else name, []).append(name)
    control, numbers = program.dialect.control, program.plan.registers
    told = [(kind, [_together(texts[name]) for name in names], names) for kind, names in kinds.items()]
    for node in walk(program.plan.nodes):
        if isinstance(node, Warn):
            kind = node.meaning.replace("-", "_")
            told.append((kind, [clean(node.message, control) if node.shown else control.codes[kind]], ["stick_length"]))
    return [
        SimpleNamespace(kind=kind, texts=shown, numbers=[str(numbers.get(name, "")) for name in names])
        for kind, shown, names in told
    ]


def _together(texts: Sequence[str]) -> str:
    """``texts`` on one line, the words with which all begin behind their numbers told once."""
    words = [text.split() for text in texts]
    columns = list(zip(*words, strict=False))
    same = next((at for at, column in enumerate(columns) if at and len(set(column)) > 1), 1)
    return " / ".join([texts[0], *(" ".join([one[0], "…", *one[same:]]) for one in words[1:])])
