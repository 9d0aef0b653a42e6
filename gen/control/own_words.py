"""The words that a machine spells otherwise: none of them may have another meaning on its control."""

from __future__ import annotations

from collections.abc import Mapping

from gen.base.errors import DressblockError, said
from gen.control.model import Control, is_keyword

_ALSO = frozenset({
    ("codes.coolant_on", "codes.mist_on"), ("codes.mist_on", "codes.coolant_on"),
    ("codes.end", "codes.end_rewind"), ("codes.end_rewind", "codes.end"),
})  # fmt: skip
"""What a word may be used for, and what it is on the control itself: flood by mist's word, the program end."""

_SETTINGS = ("dwell_word", "dwell_unit")


def without_zeros(word: str) -> str:
    """``word`` as a control's tables write it: ``M8`` for ``M08``."""
    if is_keyword(word):
        return word
    return " ".join(f"{part[0]}{float(part[1:]):.10g}" for part in word.split())


def first_of(word: str) -> str:
    """The word that acts, of several in one block: ``M66`` of ``M66 P0 L0``."""
    return word.partition(" ")[0]


def meaning_of(word: str, control: Control) -> str:
    """The key of what ``word`` is on ``control``, such as ``codes.spindle_cw``; empty if its tables do not name it."""
    tables = {f"groups.{name}": words for name, words in control.groups.items()}
    tables |= {"once": control.once, "codes": control.codes}
    parts, first = set(word.split()), first_of(word)
    whole = exact = ""
    for table, words in tables.items():
        for meaning, spelled in words.items():
            if set(spelled.split()) == parts:
                exact = exact or f"{table}.{meaning}"
            elif spelled == first:
                whole = whole or f"{table}.{meaning}"
    alias = control.aliases.get(first)
    return exact or whole or (f"groups.{alias}" if alias else "")


def hold_together(control: Control, codes: Mapping[str, str]) -> None:
    """:class:`DressblockError` if a word of ``codes`` means something else on ``control``, or two things at once."""
    used: dict[str, str] = {}
    for key, word in codes.items():
        if key in _SETTINGS or not word:
            continue
        place, word = _place(key, control), without_zeros(word)
        if (other := _other(place, word, control)) and (place, other) not in _ALSO:
            raise DressblockError(
                f"read {said(word)}, which this control has as {other}; give the word that this machine has for "
                f"{key.replace('_', ' ')}, or take the key out.",
                key=f"codes.{key}",
            )
        earlier = used.setdefault(word, place)
        if earlier != place and (place, earlier) not in _ALSO:
            raise DressblockError(
                f"read {said(word)}, which is {earlier} here too; one word cannot be both.", key=f"codes.{key}"
            )


def _place(key: str, control: Control) -> str:
    if key.partition(".")[0] in control.groups:
        return f"groups.{key}"
    return f"once.{key}" if key in control.once else f"codes.{key}"


def _other(place: str, word: str, control: Control) -> str:
    """What ``word`` is on ``control`` beside what is meant by ``place``; empty if nothing."""
    if place == "codes.synchronise" and first_of(word) == control.once["dwell"]:
        # a dwell of nothing may wait for motion
        return "" if all(float(part[1:]) == 0 for part in word.split()[1:]) else "once.dwell"
    parts = [word] if is_keyword(word) else [word, *word.split()]
    found = (meaning_of(part, control) for part in parts)
    if other := next((meaning for meaning in found if meaning and meaning != place), ""):
        return other
    effects = [control.effects[part] for part in parts if part in control.effects]
    if any(effect.does or effect.loses or effect.moves for effect in effects):
        # one that only notes what it found, such as a wait for a signal, does what it says
        return "a word that does more than the program shows"
    return "a word that directs the flow of a program" if any(part in control.flow.words for part in parts) else ""
