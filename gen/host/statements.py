"""What may be in force at a place, by every way that leads to it: whatever was set last on the way."""

from __future__ import annotations

from collections.abc import Collection, Iterator
from typing import NamedTuple

from gen.control.model import Control
from gen.control.tables import in_ranges
from gen.host.routes import Routes, Spot, is_elsewhere
from gen.host.words import axes_of, sorted_words, written_number
from gen.plan.step import UNKNOWN
from gen.reader.blocks import TAKEN
from gen.reader.program import Block, Call, Columns, PlainRow
from gen.reader.sorting import SHIFTING, SPINDLE, Sorted
from gen.reader.standing import INHERITED

EVERYTHING = "*"
"""Stands for every group, where nobody knows what a line sets."""

SWITCHED = ("spindle", "coolant", "mist", "override", "feed", "speed")
"""What may be in force beside the control's groups of modes."""

LAST_MOVE = "last move"
"""Stands for the motion code, if it has one, of the last line that moves."""

NEW = "new "
"""Begins what tells of a group whether the word in force would do something else if it were said again."""

SHIFT = "shift "
"""Begins what tells of an axis how far coordinates are shifted along it."""

TOOL = f"{NEW}tool"
"""The same of a word that counts for the tool in the spindle."""

AT_FIRST = 0
"""The line of what is in force before the program."""

_AT_REST = {"spindle": "off", "coolant": "off", "mist": "off", "override": "free", "shift": "off"}


class Statement(NamedTuple):
    """A group is given ``value`` at ``line``; two statements with one value are the same to every line behind them."""

    value: str
    line: int

    @property
    def told(self) -> bool:
        """Whether it is a number, or a mode, that the program tells."""
        return UNKNOWN not in self.value


def reaching(routes: Routes, groups: Collection[str], others: Collection[range] = ()) -> dict[str, list[Statement]]:
    """What each of ``groups`` may be at the place, in the order of the lines that say so.

    The :data:`AT_FIRST` line is that of what is in force before the program. ``others``: the lines of other dresses,
    which are proven to put back all but where the axes stand.
    """
    found: dict[str, set[Statement]] = {group: set() for group in groups}
    known: dict[int, dict[str, Statement]] = {}

    def last_in(spot: Spot) -> dict[str, Statement]:
        if spot[0] not in known:
            last: dict[str, Statement] = {}
            for at in routes.piece(spot):
                for group, statement in statements(routes, at):
                    moves = group == LAST_MOVE or group.startswith("axis ")
                    if moves or not any(statement.line in lines for lines in others):
                        last.update(dict.fromkeys(groups, statement) if group == EVERYTHING else {group: statement})
            known[spot[0]] = last
        return known[spot[0]]

    # the groups that no line between a spot and the place sets
    still: dict[Spot, set[str]] = {}
    waiting = [(spot, set(groups)) for spot in routes.places]
    while waiting:
        spot, unset = waiting.pop()
        if spot == routes.start:
            for group in unset:
                found[group].add(Statement(at_first(routes.lowered.control, group), AT_FIRST))
        for earlier in routes.before.get(spot, ()):
            last, looked = last_in(earlier), still.setdefault(earlier, set())
            for group in unset & last.keys():
                found[group].add(last[group])
            if rest := unset - last.keys() - looked:
                looked |= rest
                waiting.append((earlier, rest))
    return {group: sorted(statements, key=lambda one: one.line) for group, statements in found.items()}


def several(statements: Collection[Statement]) -> tuple[Statement, Statement] | None:
    """Two of ``statements`` that are not the same to what follows; None if all are one."""
    first = next(iter(statements), None)
    other = next((one for one in statements if first is not None and one.value != first.value), None)
    return None if first is None or other is None else (first, other)


def at_first(control: Control, group: str) -> str:
    """What ``group`` is before a program says anything of it."""
    if group.startswith(SHIFT):
        return "0"
    usual = control.usual_offset if group == "work_offset" else {**INHERITED, **control.defaults}.get(group, "")
    if not usual and "off" in control.groups.get(group, {}):
        return "off"
    return usual or _AT_REST.get(group, "")


def statements(routes: Routes, at: int) -> Iterator[tuple[str, Statement]]:
    """What instruction number ``at``, and a line in front of it that is not understood, sets, in the order they act."""
    lowered = routes.lowered
    item = lowered.code[at]
    if at in routes.gaps:
        yield EVERYTHING, Statement(f"{UNKNOWN} {at}", routes.gaps[at])
    if isinstance(item, PlainRow):
        yield from _plain(item)
    elif isinstance(item, Call) and is_elsewhere(lowered, item):
        yield EVERYTHING, Statement(f"{UNKNOWN} {at}", item.line)
    elif isinstance(item, Block):
        yield from _block(item, at, lowered.control)


def _plain(item: PlainRow) -> Iterator[tuple[str, Statement]]:
    lines = [item.end] if isinstance(item, Columns) else item.items
    for line, slots, values in lines:
        for axis, value in zip(slots.axes, values, strict=False):
            yield f"axis {axis}", Statement(f"program {value:g}", line)
        yield LAST_MOVE, Statement(slots.motion or "", line)
        if slots.feed:
            yield "feed", Statement(f"{values[-1]:g}", line)
        if slots.motion is not None:
            yield "motion", Statement(slots.motion, line)


def _block(item: Block, at: int, control: Control) -> Iterator[tuple[str, Statement]]:
    found, line = sorted_words(item, control), item.line
    if found is None or "unknown" in found.once or found.complaints:
        yield EVERYTHING, Statement(f"{UNKNOWN} {at}", line)
        return
    yield from _put_in(item, found, control)
    if "feed_mode" in found.given:
        yield "feed", Statement("", line)
    names = [name for _, effect in found.effects for name in effect.does]
    for name in [*names, *(name for name, _ in found.switches)]:
        for group, value in _switched(name):
            yield group, Statement(value, line)
    for group in _lost(found.loses, control):
        yield group, Statement(f"{UNKNOWN} {at}", line)
    for letter, group in (("F", "feed"), ("S", "speed")):
        if letter in found.words and not ("dwell" in found.once and letter in control.dwell.units):
            yield group, Statement(_written(found.words[letter], at), line)
    for group, meaning in found.given.items():
        if group == "shift":
            on = meaning == "restored"
            yield group, Statement("on" if on else "off", line)
            yield from ((f"{SHIFT}{axis}", Statement(UNKNOWN if on else "0", line)) for axis in control.axes)
            continue
        if group == "cycle" and "motion" not in found.given:
            yield "motion", Statement(f"cycle {meaning}", line)
        beside = "".join(
            f" {letter}{_written(found.words[letter], at)}" for letter in TAKEN.get(group, "") if letter in found.words
        )
        yield group, Statement(meaning + beside, line)
        if group != "work_offset":
            yield f"{NEW}{group}", Statement("", line)
        if group == "tool_length":
            yield TOOL, Statement("", line)
    if not found.once.isdisjoint(SHIFTING):
        yield "shift", Statement("on", line)
        for axis in (axis for axis in control.axes if axis in found.words):
            told = _written(found.words[axis], at) if "local_shift" in found.once else UNKNOWN
            yield f"{SHIFT}{axis}", Statement(told, line)
    if found.acts:
        machine = "machine_frame" in found.once
        how = "machine" if machine else "home" if found.once else f"{UNKNOWN} {at}" if found.signal else "program"
        for letter in axes_of(found, control):
            yield f"axis {letter}", Statement(f"{how} {_written(found.words[letter], at)}", line)
            yield LAST_MOVE, Statement(found.given.get("motion", ""), line)


def _put_in(item: Block, found: Sorted, control: Control) -> Iterator[tuple[str, Statement]]:
    """What words stand for is changed in store: a line of the tool table, a variable of an offset, the tool."""
    kind = written_number(found.words.get("L")) if "set_offset" in found.once else None
    if kind is not None and control.offset_kinds.get(f"{kind:g}") == "tool":
        yield f"{NEW}tool_length", Statement("tool table", item.line)
    if "axes" in found.loses:
        yield TOOL, Statement("tool", item.line)
    rules = control.variables
    for group, ranges in () if rules is None else rules.restated.items():
        for target, _ in item.assignments:
            if in_ranges(target, ranges):
                yield f"{NEW}{group}", Statement(f"{rules.sigil}{target}" if rules is not None else "", item.line)


def _lost(what: Collection[str], control: Control) -> Iterator[str]:
    """The groups of which nothing is known any more."""
    yield from (group for group in ("spindle", "coolant", "mist") if group.replace("mist", "coolant") in what)
    if "modes" in what:
        yield from (*control.groups, "feed", "speed", "override")
    if "axes" in what or "offsets" in what:
        yield from (f"axis {axis}" for axis in control.axes)


def _written(value: object, at: int) -> str:
    """A number as a text; one that is worked out is another every time."""
    return f"{UNKNOWN} {at}" if (told := written_number(value)) is None else f"{told:g}"


def _switched(name: str) -> Iterator[tuple[str, str]]:
    if name in SPINDLE:
        yield "spindle", SPINDLE[name]
    elif name in ("coolant_on", "coolant_off"):
        yield "coolant", name.removeprefix("coolant_")
        if name == "coolant_off":
            yield "mist", "off"
    elif name == "mist_on":
        yield "mist", "on"
    elif name in ("override_lock", "override_free"):
        yield "override", name.removeprefix("override_")
