"""How a program of ours was made, as its heading says it."""

from __future__ import annotations

from dataclasses import replace

from gen.base.languages import languages
from gen.control.heading import Heading, read_heading, same_name
from gen.control.options import Options
from gen.control.seal import MarkedBlock


def heading_in(lines: list[str], marked: MarkedBlock | None) -> Heading | None:
    """The heading inside the block, or anywhere in the first hundred lines of a program without marks."""
    first, last = (marked.first, marked.last) if marked else (1, 100)
    return read_heading(lines[first - 1 : last])


def heading_in_words(lines: list[str], marked: MarkedBlock) -> Heading | None:
    """The heading of the block ``marked`` among ``lines``, with its language by the name of that one's folder."""
    heading = heading_in(lines, marked)
    if heading is None:
        return None
    return replace(heading, language=_known(heading.language) or heading.language)


def options_as_made(heading: Heading) -> Options:
    """The options with which a program of this ``heading`` is made again, in its language."""
    state = heading.state
    return Options(
        form=heading.edition.form,
        after_truing=heading.edition.after_truing,
        purpose=heading.edition.purpose,
        at_speed=heading.edition.at_speed,
        begins=heading.begins,
        diameter=state.get("wheel_diameter"),
        gauge=state.get("wheel_gauge"),
        diameters=tuple(value for name, value in state.items() if name.startswith("wheel_diameter_")),
        length=state.get("stick_length"),
        slide_position=state.get("slide_position"),
        resolve=bool(state),
        language=_known(heading.language) or "en",
    )


def _known(language: str) -> str:
    """The shipped language that a heading names, which a control may have put in capitals; empty if it is another."""
    return next((name for name in languages() if same_name(name, language)), "")


def is_spliced(lines: list[str], marked: MarkedBlock) -> bool:
    """Whether the block ``marked`` stands within a grinding program."""
    if marked.kind == "CALL":
        return True
    heading = heading_in(lines, marked)
    around = [*lines[: marked.first - 1], *lines[marked.last :]]
    return heading is not None and heading.edition.form == "block" and any(line.strip(" %") for line in around)
