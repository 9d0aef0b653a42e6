"""What stands against a dress at the place: where it lies, what is in force there, where the axes stand."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping

from gen.base.errors import listed
from gen.base.finding import Finding
from gen.base.quantities import show
from gen.control.dialect import Dialect
from gen.control.model import Control
from gen.host.branches import undecided
from gen.host.point import HostPoint
from gen.host.said import broken, unproven
from gen.plan.step import ROTARY, UNKNOWN, Move
from gen.reader.lexis import Lexer
from gen.reader.reading import UNFINISHED
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
    """Whether the place is passed just once, in the main program, and the text up to it is understood."""
    line = max(point.place.in_file(point.place.after), 1)
    if point.in_subprogram:
        yield broken(
            "host-place",
            line,
            "this place lies in a subprogram, which may be called from anywhere; put the dress into the main program.",
        )
        return
    for crossing in point.crossings():
        if crossing.back:
            said = f"this place lies in a loop, which line {crossing.line} closes; put the dress before or behind it."
            yield broken("host-place", line, said)
            return
        yield unproven(
            "host-place",
            crossing.line,
            "what is decided here may pass over the dress; it is proven for the run that reaches it.",
            "warning",
        )
    if point.wandering is not None:
        yield unproven(
            "host-place",
            point.wandering,
            "where this jump leads is worked out when it runs; whether it passes over the dress is not known.",
        )
    if not point.visits:
        end = {
            "refused": "the program stops before it",
            "budget": "the program was not read so far",
            "unknown": "the program was not read so far",
        }
        why = end.get(point.reading.end, "the program goes another way, or ends before it")
        yield broken("host-place", line, f"this place is never reached: {why}.")
    elif len(point.visits) > 1:
        yield broken(
            "host-place",
            line,
            f"this place is passed {len(point.visits)} times in one run; put the dress "
            "where the program comes by once.",
        )
    if point.reading.end == "return":
        yield broken(
            "host-place",
            line,
            "this program returns to whatever calls it, so that what is in force in it is "
            "not known; put the dress into the program that calls.",
        )
    for entry in point.reading.unread:
        before = entry.line <= point.line or point.was_called(entry.line)
        severity = "error" if before or point.reading.end in UNFINISHED else "warning"
        said = f'"{entry.text.strip()}": {entry.why}' if entry.text.strip() else entry.why
        yield unproven(
            "host-place",
            point.in_file(entry.line),
            f"{said}; what it does to the program is not known. A word of the machine's builder that leaves everything "
            "as it was belongs under [host] known.",
            "error" if severity == "error" else "warning",
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
        if "off" not in words or meaning == "off" or group in PUT_BACK:
            continue
        line = point.in_file(here.lines.get(group, point.line))
        name = group.replace("_", " ")
        yield broken(
            "host-state",
            line,
            f"{name} is on here ({words[meaning]}) and cannot be put back after a dress; "
            f"switch it off with {words['off']} before the place, and on again behind it.",
        )
    if here.get("feed_mode") != "per-minute":
        line = point.in_file(here.lines.get("feed_mode", point.line))
        word, usual = control.word("feed_mode", here.get("feed_mode")), control.word("feed_mode", "per-minute")
        yield broken(
            "host-state",
            line,
            f"the feed is {here.get('feed_mode').replace('-', ' ')} here ({word}); a feed "
            f"like that cannot be put back. Write {usual} before the place, and {word} with its F behind it.",
        )
    yield from _inherited(point, dialect)
    yield from _switched_off(point)
    yield from _beside(point)
    for group, jump in undecided(point, (*groups_stated(control), "work_offset", *PUT_BACK)):
        yield unproven(
            "host-state",
            jump,
            f"the program's {group.replace('_', ' ')} at the dress hangs on what is decided here, and only that of one "
            "run can be put back; state it once more between here and the place.",
        )
    yield from _spindle(point)
    offset = machine.dresser.offset
    taken = (
        []
        if offset is None
        else [
            change.line
            for change in point.reading.changes
            if change.group in ("work_offset", "offset") and offset.word in (change.value, _word(dialect, change.value))
        ]
    )
    if offset is not None and taken:
        yield broken(
            "host-state",
            point.in_file(taken[0]),
            f"the program uses {offset.word} here, which the machine "
            "file keeps for the dresser alone; use another offset.",
        )


def _lost(point: HostPoint) -> Iterator[Finding]:
    """What nobody knows at the place since a word or a program that was not read, and what would help."""
    control, here = point.control, point.here
    wanted = [*groups_stated(control), "work_offset", *PUT_BACK, "override", "spindle", "coolant"]
    wanted += [group for group, words in control.groups.items() if "off" in words]
    by_line: dict[int, list[str]] = {}
    for group in dict.fromkeys(wanted):
        if here.get(group) == UNKNOWN:
            by_line.setdefault(here.lines[group], []).append(group.replace("_", " "))
    for line, groups in by_line.items():
        why = next((why for first, _, why in point.reading.lost if first == line), "")
        told = f" ({why})" if why else ""
        said = f"the program's {listed(groups, 'and')} at the place of the dress is not known behind this line{told}"
        yield unproven("host-state", point.in_file(line), f"{said}. Or state it between here and the place.")


def _word(dialect: Dialect, meaning: str) -> str:
    return dialect.control.groups.get("work_offset", {}).get(meaning, "")


def _inherited(point: HostPoint, dialect: Dialect) -> Iterator[Finding]:
    """Modes that the program never states before the place, and so inherits from whatever ran before it."""
    from gen.control.draft import host_modes

    here, usual = point.here, host_modes(dialect.control, dialect.host)
    missing = [group for group in groups_stated(dialect.control) if group not in here.lines]
    if not missing:
        return
    words = [dialect.control.word(group, usual.get(group, here.get(group))) for group in missing]
    other = [group for group in missing if usual.get(group, here.get(group)) != here.get(group)]
    said = listed((group.replace("_", " ") for group in missing), "and")
    if other:
        yield broken(
            "host-state",
            None,
            f"the program does not state its {said} before the dress, and this machine's "
            f"programs are not what the control starts with; write {' '.join(words)} at its beginning.",
        )
    else:
        yield unproven(
            "host-state",
            None,
            f"the program does not state its {said} before the dress; "
            f"{' '.join(words)} is put back. Write that at its beginning.",
            "warning",
        )


def _switched_off(point: HostPoint) -> Iterator[Finding]:
    """What the dress switches off, though it may have been on since before the program."""
    control, here = point.control, point.here
    modes = (mode.partition(".") for mode in control.cancels)
    off = {group: control.word(group, meaning) for group, _, meaning in modes if group in MOVING_ORIGIN}
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
        code, written = Lexer(control).source(1, point.text.bare[at - 1]).code, point.words(group)
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


def _units_at(point: HostPoint, line: int) -> str:
    """The units in force for the words of ``line``, when it was last read before the place."""
    now = said = point.control.defaults["units"]
    for change in point.reading.changes:
        if change.step > point.visits[0]:
            break
        now = change.value if change.group == "units" else now
        said = now if change.line == line else said
    return said


def _spindle(point: HostPoint) -> Iterator[Finding]:
    here = point.here
    if here.get("spindle", "off") == "off":
        return
    line = point.in_file(here.lines["spindle"])
    speed = point.words("speed").get("S")
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
    if dresser.set_up is None or dresser.axis is None:
        return
    moves = (step for step in point.reading.steps if isinstance(step, Move) and dresser.axis in step.axes)
    for line in dict.fromkeys(step.line for step in moves):
        yield broken(
            "host-safe",
            point.in_file(line),
            f"this program moves {dresser.axis}, and this dresser works from where its set-up left the stick: after "
            "any other move the stand-off is not what it was. Take the move out, or dress with a datum.",
        )


def against_position(point: HostPoint, machine: Machine) -> Iterator[Finding]:
    """Whether the program stands at the declared safe position, or has at least just gone out at a rapid."""
    safe: Mapping[str, object] = {} if machine.host is None else machine.host.safe
    here, line = point.here, max(point.place.in_file(point.place.after), 1)
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
        return
    for axis, place in safe.items():
        wanted, stands = float(str(place)), here.axes.get(axis)
        shown = show(wanted, "angle") if axis in ROTARY else show(wanted, "length", machine.units)
        how = f"put {point.control.once['machine_frame']} {point.control.word('motion', 'rapid')} {axis} in front of it"
        if stands is None or stands.at is None or stands.frame != "machine":
            yield unproven(
                "host-safe",
                line,
                f"where {axis} stands in machine coordinates is not known here; a dress "
                f"begins with {axis} at {shown}: {how}.",
            )
        elif abs(stands.at - wanted) > EXACT:
            at = show(stands.at, "angle") if axis in ROTARY else show(stands.at, "length", machine.units)
            yield broken(
                "host-safe", line, f"{axis} stands at {at} here; a dress begins with {axis} at {shown}: {how}."
            )
