"""After the last plunge: counters written, coolant and spindle off, the modes that the host expects."""

from __future__ import annotations

from collections.abc import Iterator

from gen.order.setting import Setting
from gen.order.turns import lanes_counted
from gen.plan.expression import num
from gen.plan.node import Flood, Leave, Node, Remark, Store, Switch, Turn


def under_way(setting: Setting, flag: bool) -> Iterator[Node]:
    """The register that tells a dress was begun and not ended."""
    if setting.write_back:
        yield Store("in_progress", num(int(flag)))


def lock(setting: Setting, locked: bool) -> Iterator[Node]:
    """Overrides locked, where the control has a word for it; a prove-out leaves them free."""
    if setting.abilities.override_lock and setting.edition.dresses:
        yield Switch("override-lock" if locked else "override-free")


def count(setting: Setting) -> Iterator[Node]:
    """The counter starts again, with the part that comes now if this block counts; the next lane, then the flag."""
    if not setting.write_back:
        return
    yield from setting.abilities.wait_for_motion()
    registers = setting.dress.machine.registers
    if registers is not None and registers.parts_since_dress is not None:
        yield Store("parts_since_dress", num(int(setting.edition.counts)))
    yield from lanes_counted(setting)
    yield from under_way(setting, False)


def stop(setting: Setting) -> Iterator[Node]:
    """Coolant and spindle off, and the modes the block leaves."""
    if setting.edition.spins:
        if setting.dress.settings.coolant:
            yield Flood(False)
        yield Turn(num(0), "off")
    yield Remark("modes the cycle expects")
    yield Leave(tuple(_left_behind(setting)))


def _left_behind(setting: Setting) -> Iterator[str]:
    """The host's modes; after a dresser's own work offset also the usual one, unless the host names its own."""
    words = setting.abilities.host
    yield from words
    offsets = setting.abilities.work_offsets
    if setting.dresser.offset is not None and offsets and not set(offsets) & set(words):
        yield offsets[0]
