"""A subprogram that counts the parts: it dresses before part N + 1, and returns at once before any other.

The register holds the parts begun since the last dress. A dress that was
interrupted is due at once, whatever the count: its own guard then parks the
stick and says so.
"""

from __future__ import annotations

from collections.abc import Iterator

from gen.dressers.task import Abilities
from gen.order.setting import Setting
from gen.plan.expression import Condition, Var, num
from gen.plan.node import Let, Node, Store, When
from gen.shop.dress import Dress
from gen.shop.edition import Edition


def can_count(dress: Dress, abilities: Abilities, edition: Edition, *, registers: bool) -> bool:
    """Whether ``edition`` can count the parts by itself: a subprogram that dresses, and may write to a register."""
    table = dress.machine.registers
    return (
        edition.form == "subprogram"
        and edition.dresses
        and registers
        and abilities.synchronise
        and dress.settings.every_parts is not None
        and table is not None
        and table.parts_since_dress is not None
    )


def asks(due: int, abilities: Abilities, labels: Iterator[int]) -> Iterator[Node]:
    """The parts since the last dress in ``due``, a working variable; as many as are wanted, if one was interrupted."""
    yield from abilities.wait_for_motion(f"a dress is due after {due} parts")
    yield Let("due", Var("parts_since_dress", "register"), "parts since dress")
    interrupted = Condition("ne", Var("in_progress", "register"), num(0))
    yield When(interrupted, next(labels), (Let("due", num(due), "interrupted"),))


def if_due(due: int, labels: Iterator[int], body: tuple[Node, ...]) -> When:
    """``body`` where :func:`asks` found that a dress is due."""
    return When(Condition("ge", Var("due"), num(due)), next(labels), body)


def counted(setting: Setting, dress: tuple[Node, ...]) -> Iterator[Node]:
    """The part that comes now is counted; before it, ``dress`` when that is due."""
    due = setting.dress.settings.every_parts
    assert due is not None
    yield from asks(due, setting.abilities, setting.labels)
    one_more = Store("parts_since_dress", Var("parts_since_dress", "register") + 1)
    yield When(Condition("lt", Var("due"), num(due)), next(setting.labels), (one_more,))
    yield if_due(due, setting.labels, dress)
