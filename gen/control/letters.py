"""Letters that a control's comments lack, written with those that it has, as one would on a telegram."""

from __future__ import annotations

import re
import unicodedata

_PAIRS = {"ä": "ae", "ö": "oe", "ü": "ue", "ß": "ss", "æ": "ae", "ø": "oe", "å": "aa", "œ": "oe"}
_CAPITALS = {small.upper(): pair for small, pair in _PAIRS.items() if len(small.upper()) == 1}


def within(text: str, letters: str) -> str:
    """``text`` with every character out of ``letters``, the inside of a regular expression's brackets, spelled by them.

    ``Höhe`` becomes ``Hoehe``, ``HÖHE`` becomes ``HOEHE``, an accent is left
    out, and what has no such spelling becomes a space.
    """
    spelled = re.sub(rf"[^{letters}]", lambda found: _spelled(found[0], text[found.end() :]), text)
    return re.sub(rf"[^{letters}]", " ", spelled)


def _spelled(letter: str, behind: str) -> str:
    if pair := _PAIRS.get(letter):
        return pair
    if pair := _CAPITALS.get(letter):
        return pair.capitalize() if behind[:1].islower() else pair.upper()
    return "".join(part for part in unicodedata.normalize("NFD", letter) if not unicodedata.combining(part))
