"""What stands against a dress at the place: where it lies, what is in force there, where the axes stand."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from gen.base.errors import listed
from gen.base.finding import Finding
from gen.base.quantities import show
from gen.control.dialect import Dialect
from gen.control.model import Control
from gen.host.own_offset import against_own_offset
from gen.host.point import HostPoint
from gen.host.said import broken, unproven
from gen.host.statements import AT_FIRST, LAST_MOVE, NEW, SWITCHED, TOOL, Statement
from gen.plan.step import ROTARY, UNKNOWN
from gen.reader.lexis import lexer_of
from gen.reader.standing import ACTIVE_SHIFT
from gen.shop.machine import Machine

PUT_BACK = ("tool_length",)
"""Groups with an "off" that a block can switch off, and on again with the same words."""

STATED = ("units", "distance", "feed_mode", "plane", "path")
"""Groups that every block states, where the control has them."""

MOVING_ORIGIN = ("tool_length", "shift")
"""Groups that every block switches off, and with which coordinates count from elsewhere."""

WITH_WORDS = {"path": "PQ", "tool_length": "HD"}
"""Groups whose word has others beside it that count."""

EXACT = 0.002
"""mm. How far an axis may stand from its safe position: what a control shows as the same place."""


def groups_stated(control: Control) -> tuple[str, ...]:
    """Of :data:`STATED`, what ``control`` has words for."""
    return tuple(group for group in STATED if group in control.groups)


def against_place(point: HostPoint) -> Iterator[Finding]:
    """Whether the place is reached, and the text from which a run comes to it is understood."""
    if point.visit is None:
        end = {
            "refused": "the program stops before it",
            "budget": "the program was not read so far",
            "unknown": "the program was not read so far",
        }
        why = end.get(point.reading.end, "the program goes another way, or ends before it")
        yield broken("host-place", point.in_front, f"this place is never reached: {why}.")
    for entry in point.reading.unread:
        if point.visit is not None and entry == point.reading.cut:
            continue  # behind the place every way is followed, whatever this run would have done
        counts = point.visit is None or entry.line <= point.line or point.routes.leads(entry.line)
        said = f'"{entry.text.strip()}": {entry.why}' if entry.text.strip() else entry.why
        yield unproven(
            "host-place",
            point.in_file(entry.line),
            f"{said}; what it does to the program is not known. A word of the machine's builder that leaves everything "
            "as it was belongs under [host] known.",
            "error" if counts else "warning",
        )


def against_state(point: HostPoint, dialect: Dialect, machine: Machine) -> Iterator[Finding]:
    """Whether everything in force at the place can be put back."""
    control, here = dialect.control, point.here
    lost = list(_lost(point))
    if lost:
        yield from lost
        return
    for group, words in control.groups.items():
        meaning = here.get(group, "off")
        if "off" not in words or meaning == "off":
            continue
        if group in PUT_BACK and not set(control.beside.get(words.get(meaning, ""), "")).intersection(control.axes):
            continue
        name = group.replace("_", " ")
        yield broken(
            "host-state",
            point.stated_at(group),
            f"{name} is on here ({words[meaning]}) and cannot be put back after a dress; "
            f"switch it off with {words['off']} before the place, and on again behind it.",
        )
    if here.get("feed_mode") != "per-minute":
        word, usual = control.word("feed_mode", here.get("feed_mode")), control.word("feed_mode", "per-minute")
        yield broken(
            "host-state",
            point.stated_at("feed_mode"),
            f"the feed is {here.get('feed_mode').replace('-', ' ')} here ({word}); a feed "
            f"like that cannot be put back. Write {usual} before the place, and {word} with its F behind it.",
        )
    yield from _inherited(point, dialect)
    yield from _switched_off(point)
    yield from _beside(point)
    yield from _at_every_passage(point)
    yield from _spindle(point)
    offset = machine.dresser.offset
    yield from _changed_since(point, own_offset=offset is not None)
    if offset is not None:
        yield from against_own_offset(point, offset.word)


def _at_every_passage(point: HostPoint) -> Iterator[Finding]:
    """What is in force at the place must be that by every way that leads to it, since one of them is put back."""
    control = point.control
    off = (group for group in control.groups if "off" in control.groups[group])
    back, needed = point.routes.hands_back, (*groups_stated(control), "spindle", "coolant")
    for group in dict.fromkeys((*groups_stated(control), "work_offset", *off, *dict(control.cancelled), *SWITCHED)):
        name = group.replace("_", " ")
        if group == "feed" or group not in point.statements or (group == "speed" and _stands(point)):
            continue
        if two := point.several(group):
            yield unproven("host-state", point.in_file(max(one.line for one in two)), _two_ways(point, name, two))
        elif back is not None and group in needed and any(one.line == AT_FIRST for one in point.statements[group]):
            yield broken(
                "host-state",
                point.in_file(back.line),
                f"this goes back to whatever called the program, or to its top, and the program does not state its "
                f"{name} before the dress; write {_usual_word(point, group)} at its beginning.",
            )


def _two_ways(point: HostPoint, name: str, two: tuple[Statement, Statement]) -> str:
    said = []
    for one in two:
        value = f"is {one.value.replace('-', ' ') or 'not set'}" if one.told else "is not known"
        where = "from before the program" if one.line == AT_FIRST else f"by line {point.in_file(one.line)}"
        said.append(f"{value} {where}")
    return (
        f"the program's {name} at the dress is not the same every time it comes there: it {said[0]}, or it {said[1]}; "
        "state it once more in front of the place."
    )


def _stands(point: HostPoint) -> bool:
    """Whether the wheel stands whenever the program comes to the dress, so that its speed is of no concern."""
    return {one.value for one in point.statements["spindle"]} == {"off"}


def _usual_word(point: HostPoint, group: str) -> str:
    control = point.control
    if group in ("spindle", "coolant"):
        return control.codes[f"{group}_off"] + " or the words that it needs"
    return control.word(group, point.here.get(group))


def _lost(point: HostPoint) -> Iterator[Finding]:
    """What nobody knows at the place since a word or a program that was not read, and what would help."""
    control, here = point.control, point.here
    off = (group for group, words in control.groups.items() if "off" in words)
    by_line: dict[int, list[str]] = {}
    for group in dict.fromkeys((*groups_stated(control), "work_offset", *off, "override", "spindle", "coolant")):
        if here.get(group) == UNKNOWN:
            by_line.setdefault(here.lines[group], []).append(group.replace("_", " "))
    for line, groups in by_line.items():
        why = next((why for first, _, why in point.reading.lost if first == line), "")
        told = f" ({why})" if why else ""
        said = f"the program's {listed(groups, 'and')} at the place of the dress is not known behind this line{told}"
        yield unproven("host-state", point.in_file(line), f"{said}. Or state it between here and the place.")


def _inherited(point: HostPoint, dialect: Dialect) -> Iterator[Finding]:
    """Modes that the program never states before the place, and so inherits from whatever ran before it."""
    control, here = dialect.control, point.here
    missing = [group for group in groups_stated(control) if group not in here.lines]
    if not missing:
        return
    usual = {group: dialect.leaves.get(group, here.get(group)) for group in missing}
    words = " ".join(control.word(group, meaning) for group, meaning in usual.items())
    said = listed((group.replace("_", " ") for group in missing), "and")
    if any(meaning != here.get(group) for group, meaning in usual.items()):
        yield broken(
            "host-state",
            None,
            f"the program does not state its {said} before the dress, and this machine's "
            f"programs are not what the control starts with; write {words} at its beginning.",
        )
    else:
        yield unproven(
            "host-state",
            None,
            f"the program does not state its {said} before the dress; {words} is put back. "
            "Write that at its beginning.",
            "warning",
        )


def _switched_off(point: HostPoint) -> Iterator[Finding]:
    """What the dress switches off, though it may have been on since before the program."""
    control, here = point.control, point.here
    off = {group: control.word(group, meaning) for group, meaning in control.cancelled if group in MOVING_ORIGIN}
    missing = [group for group in off if group not in here.lines]
    if missing:
        said = listed((group.replace("_", " ") for group in missing), "and")
        words = " ".join(off[group] for group in missing)
        yield unproven(
            "host-state",
            None,
            f"the program does not state its {said} before the dress; the dress ends what was in force from before the "
            f"program. Write {words} at its beginning, or the words that it needs.",
            "warning",
        )


def _beside(point: HostPoint) -> Iterator[Finding]:
    """What stands beside a word is put back as it was written: a number, and a length in the units at the place."""
    here, control = point.here, point.control
    for group, letters in WITH_WORDS.items():
        if group not in here.lines or here.get(group) == "off":
            continue
        at = here.lines[group]
        code, written = lexer_of(control).source(1, point.text.line(at)).code, point.words(group)
        stated = [letter for letter in letters if re.search(rf"(?<![A-Z<]){letter}(?![A-Z])", code)]
        word, line = control.word(group, here.get(group)), point.in_file(at)
        for letter in stated:
            if letter not in written:
                yield broken(
                    "host-state",
                    line,
                    f"the {letter} of {word} is worked out here and cannot be put back after a dress; write a number.",
                )
        if group == "path" and stated and _units_at(point, at) != here.get("units"):
            units = control.word("units", here.get("units"))
            yield broken(
                "host-state",
                line,
                f"the {stated[0]} of {word} counts in other units than those at the place of the dress, and cannot be "
                f"put back there; write {word} again behind {units}.",
            )


def _changed_since(point: HostPoint, *, own_offset: bool) -> Iterator[Finding]:
    """A word that is put back must do what it did: nothing of what it stands for may have changed since it was said.

    ``own_offset``: the dress has a work offset of its own, so that the program's is said again.
    """
    here = point.here
    length = here.get("tool_length", "off") != "off"
    back = {
        f"{NEW}tool_length": length,
        TOOL: length and "H" not in point.words("tool_length"),
        f"{NEW}work_offset": own_offset,
        f"{NEW}shift": here.get("shift") in ACTIVE_SHIFT,
    }
    for what in (what for what, said in back.items() if said):
        changed = next((one for one in point.statements.get(what, ()) if one.value), None)
        if changed is not None:
            group = "tool_length" if what == TOOL else what.removeprefix(NEW)
            word = point.control.groups[group].get(here.get(group), here.get(group))
            said = f"what {word} stands for may change here, and counts once {word} is said again, as behind a dress"
            # the one in force may be said again without effect
            helps = "set it by a word" if group == "work_offset" else f"say {word} again in front of the place"
            yield unproven("host-state", point.in_file(changed.line), f"{said}; {helps}.")


def _units_at(point: HostPoint, line: int) -> str:
    """The units in force for the words of ``line``, when it was last read before the place."""
    now = said = point.control.defaults["units"]
    for change in point.reading.changes:
        if point.visit is not None and change.step > point.visit:
            break
        now = change.value if change.group == "units" else now
        said = now if change.line == line else said
    return said


def _spindle(point: HostPoint) -> Iterator[Finding]:
    here = point.here
    if here.get("spindle", "off") == "off":
        return
    line, speed = point.stated_at("spindle"), point.words("speed").get("S")
    if speed is None or here.get("speed") == UNKNOWN:
        yield broken(
            "host-state",
            line,
            "the spindle turns here at a speed that is worked out or was never told, and "
            "cannot be put back; stop it before the place and start it again behind it.",
        )
    elif float(here.get("speed")) != int(float(here.get("speed"))):
        yield broken(
            "host-state",
            line,
            f"the spindle turns at S{speed} here; a block writes whole numbers of rpm only. Give it a whole number.",
        )


def against_stick_moves(point: HostPoint, machine: Machine) -> Iterator[Finding]:
    """A stick that works from a stand-off stays where the set-up left it: nothing but the dress moves its axis."""
    dresser = machine.dresser
    if dresser.per_set_up is None or dresser.axis is None:
        return
    for line in point.lines_that_move(dresser.axis):
        yield broken(
            "host-safe",
            line,
            f"this program moves {dresser.axis}, and this dresser works from where its set-up left the stick: after "
            "any other move the stand-off is not what it was. Take the move out, or dress with a datum.",
        )


def against_position(point: HostPoint, machine: Machine) -> Iterator[Finding]:
    """Whether the program stands at the declared safe position, or has at least just gone out at a rapid."""
    safe: Mapping[str, object] = {} if machine.host is None else machine.host.safe
    here, line = point.here, point.in_front

    def shown(axis: str, at: float) -> str:
        return show(at, "angle") if axis in ROTARY else show(at, "length", machine.units)

    if not safe:
        last = here.last_move
        if last is None:
            yield unproven(
                "host-safe",
                line,
                "nothing moves before this place, so that where the axes stand is not "
                "known; see that they stand clear.",
                "warning",
            )
        elif last.op != "rapid":
            yield unproven(
                "host-safe",
                point.in_file(last.line),
                "the last move before the dress is not a rapid out "
                "but at a feed, perhaps in the work; go out before it, or give the machine file a [host] "
                "safe position.",
            )
        elif not point.is_one_run:
            others = [one for one in point.statements[LAST_MOVE] if one.line not in (AT_FIRST, last.line)]
            late = next((one for one in others if one.value != "rapid"), None)
            if late is not None:
                yield unproven(
                    "host-safe",
                    point.in_file(late.line),
                    "on another way to the dress this is the last move before it, and it states no rapid; go out with "
                    "one in front of the place, or give the machine file a [host] safe position.",
                )
        return
    for axis, place in safe.items():
        wanted, stands = float(str(place)), here.axes.get(axis)
        begins = shown(axis, wanted)
        how = f"put {point.control.once['machine_frame']} {point.control.word('motion', 'rapid')} {axis} in front of it"
        if stands is None or stands.at is None or stands.frame != "machine":
            yield unproven(
                "host-safe",
                line,
                f"where {axis} stands in machine coordinates is not known here; a dress "
                f"begins with {axis} at {begins}: {how}.",
            )
        elif not point.is_alike(axis):
            said = f"{axis} may stand elsewhere when the program comes to the dress another time"
            yield unproven("host-safe", line, f"{said}; a dress begins with {axis} at {begins}: {how}.")
        elif abs(stands.at - wanted) > EXACT:
            said = f"{axis} stands at {shown(axis, stands.at)} here; a dress begins with {axis} at {begins}: {how}."
            yield broken("host-safe", line, said)
