"""What a machine file vouches for: words of the machine's builder, and programs kept elsewhere."""

from __future__ import annotations

from collections.abc import Iterable

from gen.base.errors import DressblockError, said
from gen.control.model import Control, is_keyword
from gen.control.own_words import first_of, meaning_of, without_zeros

_CODES = "GM"
"""The letters of words that act by themselves; a letter such as F or X has a meaning on every control."""


def vouched(control: Control, known: Iterable[str], unchanged: Iterable[str], original: Control) -> Control:
    """``control`` with the builder's words ``known`` to leave all as it was, and programs that do so, ``unchanged``.

    ``original`` is the control without the machine's own [codes]. What stands beside a known word belongs to it,
    except axis words, F and S. :class:`DressblockError` for a word that has another meaning.
    """
    words = [without_zeros(word) for word in known]
    for word in words:
        if why := _other_meaning(word, control) or _other_meaning(word, original):
            raise DressblockError(
                f"read {said(word)}; {why}, so that it does not leave everything as it found it. Take it out.",
                key="host.known",
            )
    beside = "".join(sorted(set("DEHIJKLPQR") - set(control.axes)))
    # a word that sets no mode may stand beside a move; of others it is not known whose the axis words are
    firsts = [first_of(word) for word in words]
    apart = [word for word in firsts if not word.startswith("M")]
    return control.model_copy(
        update={
            "known": [*control.known, *words],
            "alone": [*control.alone, *apart],
            "beside": {**control.beside, **dict.fromkeys(firsts, beside)},
            "unchanged": [*control.unchanged, *unchanged],
        }
    )


def _other_meaning(word: str, control: Control) -> str:
    """Why ``word`` is none of the builder's on ``control``; empty if it may be one."""
    first = first_of(word)
    if meaning := meaning_of(word, control):
        return f"this control has it as {meaning}"
    if first in control.effects:
        return "this control does more with it than the program shows"
    if first in control.flow.words:
        return "this control directs the flow of a program with it"
    if not is_keyword(word) and first[0] not in _CODES:
        return f"{first[0]} is no letter of such words; programs kept elsewhere belong under [host] unchanged"
    return ""
