"""What a control's words are: the model of ``templates/controls/NAME/control.toml``.

One description serves both directions. The renderer asks it for the word of a
meaning, the reader asks it for the meaning of a word; neither knows the name
of a control. The constructs it can spell are a closed set, listed here.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field

from gen.errors import DressblockError, listed, nearest, said

CODE = r"[A-Z][0-9]+(\.[0-9]+)?( [A-Z]-?[0-9]+(\.[0-9]+)?)*"
CODE_SAID = 'a word such as "M8", or words such as "M66 P0 L0",'

SWITCHES = (
    "spindle_cw", "spindle_ccw", "spindle_off", "coolant_on", "coolant_off", "mist_on", "stop", "optional_stop",
    "end", "end_rewind", "override_free", "override_lock", "synchronise", "feeder_on", "feeder_off", "tool_change",
)  # fmt: skip
"""Every meaning a switch may have; a machine file may give a word to one its control lacks."""


class Part(BaseModel):
    """A table of a control file: unknown keys are refused, values do not change."""

    model_config = ConfigDict(extra="forbid", frozen=True)


class Lexis(Part):
    """How characters make words, comments and blocks."""

    comments: list[tuple[str, str]] = Field(
        description='Pairs of opening and closing characters; an empty closing means "to the end of the line".'
    )
    comment_letters: str = Field(
        description="The characters a comment may hold, as the inside of a regular-expression class."
    )
    comment_length: Annotated[int, Field(ge=8, le=1000)] = 100
    message_prefix: str = Field("", description='How a comment shown to the operator begins, such as "MSG,".')
    block_delete: str = "/"
    tape_mark: str = Field(
        "%", description="Begins a line that starts or ends the file and does nothing; empty: none."
    )
    line_ending: Literal["\n", "\r\n"] = "\n"


class Places(Part):
    """Decimal places of one unit system."""

    length: Annotated[int, Field(ge=0, le=6)]
    feed: Annotated[int, Field(ge=0, le=6)]


class Numbers(Part):
    """How numbers are written.

    ``point`` is ``always`` (``5.``), ``needed`` (``5``) or ``scaled``: whole
    numbers in units of the last decimal place (``5000`` for 5 mm at 3 places).
    """

    point: Literal["always", "needed", "scaled"] = "needed"
    mm: Places = Places(length=3, feed=1)
    inch: Places = Places(length=4, feed=2)
    angle: Annotated[int, Field(ge=0, le=6)] = 3
    seconds: Annotated[int, Field(ge=0, le=3)] = 2
    significant: Annotated[int, Field(ge=6, le=15, description="Digits of a constant in an expression.")] = 9


class DwellWord(Part):
    """The word after the dwell code, and what it counts; ``also`` gives other words that are read, not written."""

    word: Annotated[str, Field(pattern=r"^[A-Z]$")] = "P"
    unit: Literal["s", "ms"] = "s"
    also: dict[str, Literal["s", "ms"]] = Field(default_factory=dict)

    @property
    def units(self) -> dict[str, Literal["s", "ms"]]:
        """Every word that may say how long, with what it counts."""
        return {**self.also, self.word: self.unit}


class Variables(Part):
    """Variables: how one is named and set, and what an expression may hold.

    ``operators`` gives the meaning of every operator from the one that binds
    loosest to the one that binds tightest, one table a level.
    """

    sigil: Annotated[str, Field(description='What stands before the number: "#" or "R".')]
    named: bool = Field(False, description="Whether <name> may stand in place of the number.")
    brackets: tuple[str, str] = ("[", "]")
    operators: list[dict[str, str]] = Field(description="Spelling to meaning, loosest level first.")
    functions: dict[str, str] = Field(description="Spelling to meaning: ROUND = round, FIX = floor, ...")
    unset: Literal["zero", "empty"] = Field(
        "zero", description="What reads from a variable never set: 0, or empty, which equals nothing."
    )
    alarm: int | None = Field(None, description="The variable whose assignment stops with an alarm and a message.")
    highest: int | None = Field(None, description="The highest number a variable may have.")
    late_assignment: bool = Field(
        False, description="Whether a block's assignments take effect only when the whole block has been read."
    )
    bare_expressions: bool = Field(
        False, description="Whether an expression may follow the = of an assignment without brackets."
    )
    single_atan: bool = Field(False, description="Whether atan2 also takes one value, ATAN[v], beside ATAN[y]/[x].")
    equal_within: Annotated[float, Field(ge=0)] = Field(
        0.0, description="Two values that differ by less than this are equal to EQ and NE; 0: only equal ones are."
    )
    system: list[tuple[int, int]] = Field(
        default_factory=list, description="First and last of the numbers that mirror or set the control's own state."
    )
    home: int | None = Field(None, description="The variable that holds the first axis of the home position.")
    second_home: int | None = Field(None, description="The variable that holds the first axis of the second one.")


class OWords(Part):
    """Structured blocks led by a numbered or named O word (``o100 if [..]``)."""

    letter: str = "O"
    locals: int = Field(30, description="Variables 1 to this belong to the subprogram that runs.")


class Jumps(Part):
    """``IF [..] GOTO n`` and ``GOTO n``, to an N-number or to a label."""

    condition: str = "IF"
    then: str = Field("", description="The word of a conditional assignment, where there is one.")
    goto: list[str] = Field(description="The jump words; a control may have one for each direction.")
    target: Literal["number", "label"] = "number"


class Loops(Part):
    """``WHILE [..] DO m`` … ``END m``."""

    condition: str = "WHILE"
    begin: str = "DO"
    end: str = "END"


class Subprograms(Part):
    """Calls of numbered programs: ``M98 P7101`` … ``M99``."""

    call: str = ""
    number_word: str = "P"
    repeat_word: str = "L"
    ends: str = Field(description='The word that returns, such as "M99".')


class Flow(Part):
    """The flow constructs a control has; a table that is absent is a construct it lacks."""

    o_words: OWords | None = None
    jumps: Jumps | None = None
    loops: Loops | None = None
    subprograms: Subprograms | None = None
    program_letter: str = Field("", description='What stands before a program number, such as "O".')


Groups = dict[str, dict[str, str]]
"""Modal group to meaning to word, such as ``groups["units"]["mm"] == "G21"``."""


class Control(Part):
    """A control, as its program text shows it."""

    title: str
    about: str = ""
    judge: str = Field("", description="An independent interpreter the tests hold this control against; empty: none.")
    file_suffix: Annotated[str, Field(pattern=r"^\.[a-z0-9]+$")]
    lexis: Lexis
    numbers: Numbers
    axes: str = Field("XYZABCUVW", description="The letters that name axes.")
    groups: Groups = Field(description="Modal groups: units, distance, feed_mode, plane, motion, ...")
    once: dict[str, str] = Field(description="Codes that act in their own block only: machine_frame, dwell, ...")
    codes: dict[str, str] = Field(description="Switches: spindle_cw, coolant_on, stop, end, synchronise, ...")
    cancels: list[str] = Field(
        description='What a dress block cancels before it moves, as "group.meaning", in the order written.'
    )
    defaults: dict[str, str] = Field(
        default_factory=dict, description="The meaning each modal group has after switching on."
    )
    aliases: dict[str, str] = Field(
        default_factory=dict, description='Other words that are read, not written, as a mode: G71 = "units.mm".'
    )
    known: list[str] = Field(
        default_factory=list, description="Words that act, but on nothing a dress depends on; read without complaint."
    )
    dwell: DwellWord = DwellWord()
    variables: Variables | None = None
    flow: Flow = Flow()

    def with_codes(self, codes: Mapping[str, str]) -> Control:
        """This control with the words a machine spells otherwise.

        A key names a meaning of ``codes`` or ``once``, a mode as ``group.meaning``,
        or ``dwell_word`` and ``dwell_unit``; an empty word takes the meaning away.
        :class:`DressblockError` if a key or a word cannot be.
        """
        own, once, dwell = dict(self.codes), dict(self.once), self.dwell.model_dump()
        groups = {name: dict(words) for name, words in self.groups.items()}
        for key, word in codes.items():
            group, dot, meaning = key.partition(".")
            if key == "dwell_word":
                dwell["word"] = _checked(key, word, r"[A-Z]", "a single capital letter")
            elif key == "dwell_unit":
                dwell["unit"] = _checked(key, word, r"s|ms", '"s" or "ms"')
            elif dot and group in groups:
                groups[group][meaning] = _checked(key, word, CODE, CODE_SAID)
            elif key in once:
                once[key] = _checked(key, word, CODE, CODE_SAID)
            elif key in own or key in SWITCHES:
                own[key] = _checked(key, word, f"({CODE})?", CODE_SAID)
            else:
                known = [*own, *SWITCHES, *once, "dwell_word", "dwell_unit"]
                near = nearest(key, known)
                hint = f'the nearest one is "{near}"' if near else f"known are {listed(sorted(set(known)), 'and')}"
                raise DressblockError(f"this control knows no such code; {hint}.", key=f"codes.{key}")
        return self.model_copy(
            update={
                "codes": {key: word for key, word in own.items() if word},
                "once": once,
                "groups": groups,
                "dwell": DwellWord.model_validate(dwell),
            }
        )

    def word(self, group: str, meaning: str) -> str:
        """The word of ``meaning`` in modal ``group``. ``KeyError`` if the control has none."""
        return self.groups[group][meaning]


def _checked(key: str, word: str, pattern: str, wanted: str) -> str:
    if not re.fullmatch(pattern, word):
        raise DressblockError(f"read {said(word)}; {wanted} is wanted.", key=f"codes.{key}")
    return word
