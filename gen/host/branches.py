"""Modes that a program has at a place only because of what it decided on the way there."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from gen.host.point import HostPoint
from gen.reader.program import Block
from gen.reader.word import spelled


class _Setting(NamedTuple):
    """Instruction number ``at``, on ``line``, sets the group looked at to ``value``."""

    at: int
    line: int
    value: str


def undecided(point: HostPoint, groups: Iterable[str]) -> Iterator[tuple[str, int]]:
    """Each of ``groups`` that another run may bring to the place otherwise, with the line of the jump it hangs on."""
    end = point.at_place or 0
    skips = [skip for skip in point.skips() if skip.target <= end]
    if not skips:
        return
    for group, settings in _settings(point, groups, end).items():
        sure = max((one.at for one in settings if not any(skip.over(one.at) for skip in skips)), default=-1)
        for skip in skips:
            inside = [one for one in settings if skip.over(one.at) and one.at > sure]
            if inside and _hangs(point, group, inside, [one for one in settings if one.at < skip.at]):
                yield group, skip.line
                break


def _settings(point: HostPoint, groups: Iterable[str], end: int) -> dict[str, list[_Setting]]:
    """What the instructions before number ``end`` set, by group."""
    meanings = {
        word: (group, meaning) for group in groups for meaning, word in point.control.groups.get(group, {}).items()
    }
    letters = {word[0] for word in meanings} | set(meanings)
    found: dict[str, list[_Setting]] = {}
    for at, item in enumerate(point.lowered.code[:end]):
        if not isinstance(item, Block):
            continue
        for word in item.words:
            if word.letter in letters and isinstance(word.value, float):
                group, meaning = meanings.get(spelled(word.letter, word.value), ("", ""))
                if group:
                    found.setdefault(group, []).append(_Setting(at, item.line, meaning))
    return found


def _hangs(point: HostPoint, group: str, inside: Sequence[_Setting], before: Sequence[_Setting]) -> bool:
    """Whether the run that was read, and one that goes the other way at the jump, come with different modes."""
    here, usual = point.here, point.control.defaults.get(group, "off")
    read = here.get(group, usual)
    if inside[-1].value != read:
        return True
    passed = here.lines.get(group) in {one.line for one in inside}
    return passed and (before[-1].value if before else usual) != read
