"""What the words of a block are there for: codes set apart from the words that belong to them.

Codes are written as plain numbers nearly always, so that a line is sorted once
and not each time it acts.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import field
from functools import lru_cache
from typing import Literal

from gen.base.dataclass import dataclass
from gen.control.model import Control
from gen.control.tables import Effect, Loss
from gen.reader.expressions import Code
from gen.reader.meanings import BUILDER, Meaning, meanings_of
from gen.reader.word import Word, spelled

SPINDLE: dict[str, Literal["cw", "ccw", "off"]] = {"spindle_cw": "cw", "spindle_ccw": "ccw", "spindle_off": "off"}
ENDINGS = ("stop", "optional_stop", "end", "end_rewind")
_MOVING = ("motion", "cycle", "shift")
"""Groups whose modes are set where the axis words are."""

_LATE_GROUPS = ("plane", "units", "compensation", "tool_length", "work_offset", "path", "distance", "arc_distance")


@dataclass(slots=True)
class Sorted:
    """``words``: those no code has claimed. ``given``: a mode for each group. ``complaints``: what is wrong.

    ``modes``: the groups of ``given`` in the order in which they are set, but for the feed mode, which is set
    before, and those of :data:`MOVING`, set behind. ``switches`` and ``endings``: codes in the order they act in.
    """

    words: dict[str, Code] = field(default_factory=dict)
    given: dict[str, str] = field(default_factory=dict)
    once: set[str] = field(default_factory=set)
    switches: list[tuple[str, str]] = field(default_factory=list)
    idle: list[str] = field(default_factory=list)
    pointless: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)
    modes: tuple[str, ...] = ()
    endings: tuple[str, ...] = ()
    effects: list[tuple[str, Effect]] = field(default_factory=list)
    """Words that do more than their tables say, and what."""
    taken: str = ""
    """Letters that belong to words of no concern."""
    bends: str = ""
    """The word behind which coordinates may be turned or scaled."""
    signal: str = ""
    """The word that moves the axes until a signal comes."""
    builders: list[str] = field(default_factory=list)
    """Words of the machine builder, of which nobody knows what they do and when."""
    numbers: bool = True
    """Whether no word has to be worked out."""
    feeds: bool = False
    """Whether there is anything about feed or speed."""
    acts: bool = False
    """Whether anything here sets a mode of :data:`MOVING`, acts once or has axis words or a centre."""

    @property
    def loses(self) -> set[Loss]:
        """What is not known any more behind the line."""
        return {what for _, effect in self.effects for what in effect.loses}


class Sorter:
    """Sorts the words of blocks by the meanings of ``control``; ``codes`` are the letters of words that are codes.

    What a line means depends on the values of the letters ``by_value``, codes among them.
    """

    def __init__(self, control: Control) -> None:
        self._alone = frozenset(control.alone)
        self._axes = control.axes
        self._meanings = meanings_of(control)
        self.codes = self._meanings.letters | {"T"}
        self.by_value = self.codes | self._meanings.beside
        self._effects = control.effects
        self._beside = control.beside
        self._builder = control.builder
        self._not_beside = control.not_beside

    def beforehand(self, words: Sequence[Word]) -> Sorted | None:
        """The words sorted before their values are known; None if that depends on the values."""
        worked_out = {word.letter for word in words if not isinstance(word.value, float)}
        return None if worked_out & self.by_value else self.sort(words)

    def sort(self, words: Sequence[Word]) -> Sorted:
        """The words sorted; the values of codes, and of words that codes want beside them, must be numbers."""
        found = Sorted()
        codes: list[tuple[str, float]] = []
        for letter, value, pointless in words:
            if letter in self._meanings.letters:
                assert isinstance(value, float)
                codes.append((letter, value))
            elif letter in found.words:
                found.complaints.append(f"{letter} stands twice in this line")
            else:
                found.words[letter] = value
                if pointless:
                    found.pointless.append(letter)
        self._file_all(codes, found)
        found.complaints += _too_many(found)
        if "unknown" in found.once:
            found.words.clear()
        tool = found.words.pop("T", None)
        if isinstance(tool, float):
            found.idle.append(f"T{tool:g}")
        found.switches.sort(key=lambda switch: _switch_order(switch[0]))
        found.endings = tuple(name for name in ENDINGS if any(name == switch for switch, _ in found.switches))
        found.modes = _in_order(found.given)
        found.numbers = all(isinstance(value, float) for _, value, _ in words)
        found.feeds = "F" in found.words or "S" in found.words or "feed_mode" in found.given
        found.bends = next((code for code, effect in found.effects if effect.bends), "")
        found.signal = next((code for code, effect in found.effects if effect.moves), "")
        found.acts = (
            bool(found.once or found.signal or found.bends)
            or not found.given.keys().isdisjoint(_MOVING)
            or any(letter in self._axes or letter in "IJKR" for letter in found.words)
        )
        return found

    def _file_all(self, codes: Sequence[tuple[str, float]], found: Sorted) -> None:
        beside_axes = any(letter in found.words for letter in self._axes)
        for letter, value in codes:
            code = spelled(letter, value)
            meaning = self._meanings.find(letter, value, found.words)
            other = beside_axes and code in self._alone
            if other and (among_axes := self._meanings.with_axes(letter, value)) is not None:
                meaning, other = among_axes, False
            if meaning is not None and not other:
                _file(code, meaning, found)
                if code in self._effects:
                    found.effects.append((code, self._effects[code]))
                if meaning.kind == "known":
                    self._take(code, meaning, found)
                for strange in self._not_beside.get(code, ""):
                    if found.words.pop(strange, None) is not None:
                        found.complaints.append(f"{strange} beside {code} is what another type of control has")
                continue
            beside = " beside axis words" if meaning else ""
            found.complaints.append(f"{code} is no word of this control{beside}")
            if letter == "G" or meaning is not None:
                found.once.add("unknown")

    def _take(self, code: str, meaning: Meaning, found: Sorted) -> None:
        """What belongs to a word of no concern, and what is lost behind one that the builder alone knows."""
        found.taken += self._beside.get(code, "")
        if meaning.group == BUILDER and self._builder is not None:
            found.taken += self._builder.beside
            found.effects.append((code, Effect(loses=self._builder.loses)))
            found.builders.append(code)


def _file(code: str, meaning: Meaning, found: Sorted) -> None:
    for letter, _ in meaning.with_words:
        found.words.pop(letter, None)
    match meaning.kind:
        case "mode":
            if meaning.group in found.given:
                found.complaints.append(f"two words of one group, {meaning.group}, in a line")
            found.given[meaning.group] = meaning.name
        case "once":
            if meaning.name in found.once:
                found.complaints.append(f"{code} stands twice in this line")
            found.once.add(meaning.name)
        case "switch":
            whole = " ".join([code, *(f"{letter}{value:g}" for letter, value in meaning.with_words)])
            found.switches.append((meaning.name, whole))
        case "known":
            found.idle.append(code)


_OF_ONE_GROUP = (tuple(SPINDLE), ("mist_on", "coolant_on", "coolant_off"), ("override_lock", "override_free"), ENDINGS)
"""Switches of which a line may have one: what two of them do is not the same everywhere."""

SHIFTING = ("set_shift", "local_shift", "replace_shift", "add_shift")
"""Words that act once and shift coordinates."""

SETTING = ("set_offset", *SHIFTING)
"""Words that act once, and to which the axis words of their line belong."""

_ONE_OF = ("machine_frame", "dwell", "home", "second_home", "set_home", "set_second_home", *SETTING)
"""Words that act once, of which a line may have one (modal group 0 of NIST IR 6556, from memory)."""


def _too_many(found: Sorted) -> Iterator[str]:
    """What stands in a line together and must not."""
    for names in _OF_ONE_GROUP:
        codes = [code for name, code in found.switches if name in names]
        if len(codes) > 1:
            yield f"{' and '.join(codes)} stand in one line"
    once = [name for name in _ONE_OF if name in found.once]
    if len(once) > 1 or ("motion" in found.given and not found.once.isdisjoint(SETTING)):
        yield "two words stand in one line that cannot act together"
    probing = [code for code, effect in found.effects if effect.moves]
    if probing and (len(probing) > 1 or once or "motion" in found.given):
        yield f"{probing[0]} stands in one line with another word that moves"


def _in_order(given: Mapping[str, str]) -> tuple[str, ...]:
    late = (group for group in _LATE_GROUPS if group in given)
    others = [group for group in given if group not in (*_MOVING, "feed_mode", *_LATE_GROUPS)]
    return (*late, *others)


def _switch_order(name: str) -> int:
    """Spindle, then coolant, then overrides, then the rest."""
    return next((at for at, names in enumerate(_OF_ONE_GROUP[:3]) if name in names), 3)


sorter_of = lru_cache(32)(Sorter)
