"""A work offset that the machine file keeps for the dresser: no line of the program uses it or moves its origin."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import replace

from gen.base.finding import Finding
from gen.control.model import Control
from gen.host.point import HostPoint
from gen.host.said import broken, unproven
from gen.host.statements import AT_FIRST, SHIFT
from gen.host.words import has_its_own_way, may_move_the_origin, sorted_words, written_number
from gen.reader.program import Block


def against_own_offset(point: HostPoint, word: str) -> Iterator[Finding]:
    """Whether coordinates in the offset ``word`` are the dresser's own by every way that leads to the place."""
    for item in point.own_blocks():
        uses = _uses(item, point.control, word)
        if uses is True:
            said = f"the program uses {word} here, which the machine file keeps for the dresser alone"
            yield broken("host-state", point.in_file(item.line), f"{said}; use another offset.")
        elif uses is None:
            said = f"this may change what {word} counts from, which the machine file keeps for the dresser alone"
            yield unproven(
                "host-state", point.in_file(item.line), f"{said}; name the offset and its values in numbers."
            )
    if "shift" in dict(point.control.cancelled):
        return
    for axis in point.control.axes:
        on = (one for one in point.statements[f"{SHIFT}{axis}"] if one.line != AT_FIRST and one.value != "0")
        for one in list(on)[:1]:
            said = f"coordinates may be shifted along {axis} by this when a dress comes, and those in {word} with them"
            helps = "take the shift back in front of the place, and put it in again behind it"
            yield broken("host-state", point.in_file(one.line), f"{said}; {helps}.")


def _uses(item: Block, control: Control, word: str) -> bool | None:
    """Whether ``item`` says the offset ``word`` or changes it; None where it may."""
    if may_move_the_origin(item, control):
        return None
    found = sorted_words(item, control)
    if found is None:
        # what goes to a place or turns coordinates in a way of its own leaves the offset as it is
        others = tuple(one for one in item.words if not has_its_own_way(one, control))
        found = sorted_words(replace(item, words=others, assignments=(), sorted=None), control)
    if found is None:
        return None
    offsets = control.groups.get("work_offset", {})
    if "work_offset" in found.given and offsets[found.given["work_offset"]] == word:
        return True
    if "offsets" in found.loses:
        return None
    return _sets(found.words, control, word, [*offsets.values()]) if "set_offset" in found.once else False


def _sets(words: Mapping[str, object], control: Control, word: str, offsets: list[str]) -> bool | None:
    """Whether a line with ``words`` puts values into the offset ``word``."""
    kind, number = written_number(words.get("L")), written_number(words.get("P"))
    if kind is None or number is None:
        return None
    meaning = control.offset_kinds.get(f"{kind:g}")
    if meaning == "tool":
        return False
    if not number:
        return None if control.offset_zero == "all" else False
    if meaning == "more":
        return word.endswith(f" P{number:g}")
    plain = [one for one in offsets if " " not in one]
    return number <= len(plain) and plain[int(number) - 1] == word
