"""The messages of a program, worded in a language and short enough for the control's display."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache

from gen.base.errors import DressblockError, said
from gen.base.languages import language as known
from gen.base.languages import told
from gen.control.model import Control
from gen.control.render import clean
from gen.order.notice import Notice


def messages_in(language: str, control: Control) -> Callable[[Notice], str]:
    """What ``control`` shows for a notice: its number, then the language's words, or its short form where they fit not.

    What is returned raises :class:`DressblockError` where not even the short form fits.
    """
    most = control.lexis.message_length

    def shown(notice: Notice) -> str:
        texts = [clean(f"{notice.number} {text}", control) for text in _forms(language, notice)]
        fitting = next((text for text in texts if len(text) <= most), None)
        if fitting is None:
            raise DressblockError(
                f"the message {said(texts[-1])} has {len(texts[-1])} characters, and this control shows {most} "
                "(message_length); make the short form of it shorter.",
                file=known(language).folder / "heading.j2",
            )
        return fitting

    return shown


@lru_cache(maxsize=500)
def _forms(language: str, notice: Notice) -> tuple[str, str]:
    """The long and the short form of ``notice``."""
    values = {"kind": notice.kind, "limit": notice.limit, "wheel": notice.wheel or "", "gauge": notice.gauge}
    return (
        told(language, "message", values, template="heading.j2"),
        told(language, "short_message", values, template="heading.j2"),
    )
