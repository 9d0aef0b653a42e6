"""The words that a machine spells otherwise: none of them may have another meaning on its control."""

from __future__ import annotations

import re
from collections.abc import Mapping

from gen.base.errors import DressblockError, listed, nearest, said
from gen.control.model import NEEDED_CODES, SWITCHES, Control, is_keyword
from gen.control.tables import CODE, DwellWord

_ALSO = frozenset({
    ("codes.coolant_on", "codes.mist_on"), ("codes.mist_on", "codes.coolant_on"),
    ("codes.end", "codes.end_rewind"), ("codes.end_rewind", "codes.end"),
})  # fmt: skip
"""What a word may be used for, and what it is on the control itself: flood by mist's word, the program end."""

_DWELL = {"dwell_word": (r"[A-Z]", "a single capital letter"), "dwell_unit": (r"s|ms", '"s" or "ms"')}
_CODE = CODE, 'a word such as "M8" or "WAIT", or words such as "M66 P0 L0",'


def respelled(control: Control, codes: Mapping[str, str]) -> Control:
    """``control`` with the words ``codes`` that a machine spells otherwise.

    A key names a meaning of ``codes`` or ``once``, a mode as ``group.meaning``, or ``dwell_word`` and ``dwell_unit``;
    an empty word takes the meaning away. :class:`DressblockError` if a key or a word cannot be, or if a word means
    something else on ``control``, or two things at once.
    """
    tables = {name: dict(words) for name, words in _tables(control).items()}
    dwell = control.dwell.model_dump()
    used: dict[str, str] = {}
    for key, word in codes.items():
        if key in _DWELL:
            dwell[key.removeprefix("dwell_")] = _checked(key, word, *_DWELL[key])
            continue
        table, meaning = _place(key, control)
        if table == "codes" and not word and meaning not in NEEDED_CODES:
            tables[table].pop(meaning, None)
            continue
        if not table.startswith("groups."):
            _moves_nothing(key, word, control)
        tables[table][meaning] = _checked(key, word, *_CODE)
        place, short = f"{table}.{meaning}", without_zeros(word)
        if (other := _other(place, short, control)) and (place, other) not in _ALSO:
            raise DressblockError(
                f"read {said(short)}, which this control has as {other}; give the word that this machine has for "
                f"{key.replace('_', ' ')}, or take the key out.",
                key=f"codes.{key}",
            )
        earlier = used.setdefault(short, place)
        if earlier != place and (place, earlier) not in _ALSO:
            raise DressblockError(
                f"read {said(short)}, which is {earlier} here too; one word cannot be both.", key=f"codes.{key}"
            )
    groups = {name: tables[f"groups.{name}"] for name in control.groups}
    dwells = DwellWord.model_validate(dwell)
    return control.model_copy(
        update={"codes": tables["codes"], "once": tables["once"], "groups": groups, "dwell": dwells}
    )


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
    parts, first = set(word.split()), first_of(word)
    whole = exact = ""
    for table, words in _tables(control).items():
        for meaning, spelled in words.items():
            if set(spelled.split()) == parts:
                exact = exact or f"{table}.{meaning}"
            elif spelled == first:
                whole = whole or f"{table}.{meaning}"
    alias = control.aliases.get(first)
    return exact or whole or (f"groups.{alias}" if alias else "")


def _tables(control: Control) -> dict[str, dict[str, str]]:
    """The tables that name words, each meaning to word, by their keys in the control's file."""
    return {
        **{f"groups.{name}": words for name, words in control.groups.items()},
        "once": control.once,
        "codes": control.codes,
    }


def _place(key: str, control: Control) -> tuple[str, str]:
    """The table that ``key`` of a machine's words belongs to, and the meaning there."""
    group, _, meaning = key.partition(".")
    if meaning and group in control.groups:
        return f"groups.{group}", meaning
    if key in control.once:
        return "once", key
    if key in control.codes or key in SWITCHES:
        return "codes", key
    known = [*control.codes, *SWITCHES, *control.once, *_DWELL]
    near = nearest(key, known)
    hint = f'the nearest one is "{near}"' if near else f"known are {listed(sorted(set(known)), 'and')}"
    raise DressblockError(f"this control knows no such code; {hint}.", key=f"codes.{key}")


def _checked(key: str, word: str, pattern: str, wanted: str) -> str:
    if not re.fullmatch(pattern, word):
        raise DressblockError(f"read {said(word)}; {wanted} is wanted.", key=f"codes.{key}")
    return word


def _moves_nothing(key: str, word: str, control: Control) -> None:
    """:class:`DressblockError` if the words of a switch hold an axis or a motion code."""
    motion = set(control.groups.get("motion", {}).values())
    moving = [part for part in word.split() if part in motion or (part[0] in control.axes and part[1:2].isdigit())]
    if moving:
        raise DressblockError(
            f"read {said(word)}; {listed(moving, 'and')} would move an axis, and what is wanted here is a switch "
            'such as "M8".',
            key=f"codes.{key}",
        )


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
