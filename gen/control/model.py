"""What a control's words are: the model of ``templates/controls/NAME/control.toml``.

One description serves both directions. The renderer asks it for the word of a
meaning, the reader asks it for the meaning of a word; neither knows the name
of a control. The constructs it can spell are a closed set, listed in
:mod:`gen.control.tables`.

A refusal has three forms, and the reader knows all of them on every control: an
assignment to the alarm variable; a message, then the program end; a message,
then a stop that comes round again with nothing changed, however often cycle
start is pressed.
"""

import re
from collections.abc import Iterator
from typing import Annotated, Literal, Self, TypeAlias

from pydantic import Field, field_validator, model_validator

from gen.base.errors import Disagreement, Problem, said
from gen.base.fields import Part, no_list, no_table
from gen.control.tables import BuilderWords, CodeWord, DwellWord, Effect, Flow, Lexis, Numbers, Variables

_LETTERS = re.compile(r"[^^\[\]\\][^\[\]\\]*")
_BREAKS = [*map(chr, range(32)), *map(chr, range(127, 160)), "\u2028", "\u2029"]

SWITCHES = (
    "spindle_cw", "spindle_ccw", "spindle_off", "coolant_on", "coolant_off", "mist_on", "stop", "optional_stop",
    "end", "end_rewind", "override_free", "override_lock", "synchronise", "feeder_on", "feeder_off", "feeder_retracted",
    "tool_change", "stick_low", "dress_left_out",
)  # fmt: skip
"""Every meaning a switch may have; a machine file may give a word to one its control lacks."""


NEEDED_CODES = ("spindle_cw", "spindle_ccw", "spindle_off", "coolant_on", "coolant_off", "stop", "end")

_MODES = {
    "units": ("mm", "inch"),
    "distance": ("absolute", "incremental"),
    "feed_mode": ("per-minute",),
    "plane": ("xy",),
    "motion": ("rapid", "feed"),
}
"""Modes that every dress block states, or may have to."""


Groups: TypeAlias = dict[str, dict[str, CodeWord]]
"""Modal group to meaning to word, such as ``groups["units"]["mm"] == "G21"``."""


TAKEN_SUFFIXES = (".html", ".txt", ".toml", ".tmp")
"""Sheets, input and half-written files end so; a program of the same name would take their place."""


class Control(Part):
    """A control, as its program text shows it."""

    title: str = Field(description="What one sees in its programs, in a line.")
    about: str = Field("", description="Where the words are from: a standard, or memory; and what is not sure.")
    judge: str = Field("", description="An independent interpreter the tests hold this control against; empty: none.")
    file_suffix: Annotated[str, Field(pattern=r"^\.[a-z0-9]+$")] = Field(description="How its file names end.")
    lexis: Lexis = Field(description="How characters make words, comments and blocks.")
    numbers: Numbers = Field(description="How numbers are written.")
    axes: str = Field("XYZABCUVW", description="The letters that name axes.")
    groups: Groups = Field(
        description="Modal groups, meaning to word: "
        + "; ".join(f"{group} ({', '.join(meanings)})" for group, meanings in _MODES.items())
        + "; and any other, such as compensation, tool_length, cycle, work_offset."
    )
    frame_feeds: bool = Field(
        True,
        description="Whether every control of this kind obeys a feed beside its machine-frame word; where some do not, "
        "the machine file has to say that this one does.",
    )
    once: dict[str, CodeWord] = Field(
        description="Words that act in their own block only: machine_frame, dwell, and set_offset, set_shift, "
        "local_shift, replace_shift, add_shift, home, second_home, set_home, set_second_home where there are such."
    )
    offset_kinds: dict[str, Literal["value", "more", "here", "tool"]] = Field(
        {"2": "value"},
        description="What the L of set_offset says: value, a work offset is what the axis words say; more, one of "
        "numbered_offsets; here, it is such that the axes stand where the axis words say; tool, the table of tools, on "
        "which no position depends that is worked out.",
    )
    numbered_offsets: dict[CodeWord, Annotated[int, Field(ge=1, le=300)]] = Field(
        default_factory=no_table,
        description="Words of work offsets that a P beside them numbers, and how many there are.",
    )
    local_shift_adds: bool = Field(
        False, description="Whether local_shift is added to set_shift; else the two share their values."
    )
    offset_zero: Literal["current", "all"] = Field(
        "current", description="What P0 of set_offset means: the work offset in force, or one that is added to all."
    )
    codes: dict[str, CodeWord] = Field(
        description=f"Switches: {', '.join(NEEDED_CODES)}; where the control has them, any of {', '.join(SWITCHES)}."
    )
    cancels: list[str] = Field(
        description='What a dress block cancels before it moves, as "group.meaning", in the order written.'
    )
    defaults: dict[str, str] = Field(
        default_factory=no_table, description="The meaning each modal group has after switching on."
    )
    aliases: dict[str, str] = Field(
        default_factory=no_table,
        description='Other words that are read, not written, as a mode, G71 = "units.mm", or as a word that acts in '
        'its own block, G53 = "once.machine_frame".',
    )
    alone: list[str] = Field(
        default_factory=no_list,
        description="Words that mean what the tables say only in a block without axis words, such as one that ends "
        "a shift when nothing follows it; beside axis words they are not followed.",
    )
    known: list[CodeWord] = Field(
        default_factory=no_list,
        description="Words that act, but on nothing a dress depends on; read without complaint.",
    )
    builder: BuilderWords | None = Field(None, description="Words that are the machine builder's own.")
    unchanged: list[str] = Field(
        default_factory=no_list,
        description="Programs kept elsewhere that leave everything as they found it, by number or by name.",
    )
    effects: dict[CodeWord, Effect] = Field(
        default_factory=no_table,
        description="What a word of known or [codes] also does, or what is not known behind it, such as a tool change "
        "that stops the spindle.",
    )
    beside: dict[CodeWord, Annotated[str, Field(pattern=r"^[A-Z]+$")]] = Field(
        default_factory=no_table, description="The letters that belong to a word, and to no move, in its block."
    )
    not_beside: dict[CodeWord, Annotated[str, Field(pattern=r"^[A-Z]+$")]] = Field(
        default_factory=no_table,
        description="The letters that cannot stand beside a word here, since another type of control means something "
        "else by the two.",
    )
    feed_lost: Literal["changed", "stated"] = Field(
        "changed",
        description="When a feed is lost: when a word of feed_mode changes the mode, or whenever there is such a word, "
        "after which the control does not move at a feed until it is told one.",
    )
    arc_turns: Annotated[str, Field(pattern=r"^[A-Z]?$")] = Field(
        "", description="The letter that says in an arc's block how many turns it makes; empty: there is none."
    )
    dwell: DwellWord = Field(DwellWord(), description="The word after the dwell code.")
    variables: Variables | None = Field(None, description="Variables and expressions; absent: numbers only.")
    flow: Flow = Field(Flow(), description="The flow constructs the control has.")

    def __eq__(self, other: object) -> bool:
        """Whether both are this very one: what is kept for a control is found without comparing all its words."""
        return self is other

    __hash__ = object.__hash__

    @model_validator(mode="after")
    def _complete(self) -> Self:
        problems = list(self._missing())
        if problems:
            raise Disagreement(problems)
        return self

    @model_validator(mode="before")
    @classmethod
    def _numbered(cls, tables: object) -> object:
        """Each numbered offset as a word of its own, which is what everybody asks for."""
        if not isinstance(tables, dict) or not isinstance(counts := tables.get("numbered_offsets"), dict):
            return tables
        groups = tables.get("groups")
        if not isinstance(groups, dict) or not all(type(count) is int and count < 1000 for count in counts.values()):
            return tables
        more = {name: name for word, count in counts.items() for name in (f"{word} P{n}" for n in range(1, count + 1))}
        return {**tables, "groups": {**groups, "work_offset": {**groups.get("work_offset", {}), **more}}}

    @field_validator("file_suffix")
    @classmethod
    def _its_own(cls, suffix: str) -> str:
        if suffix in TAKEN_SUFFIXES:
            raise ValueError(f"{suffix} is how the sheets and the files of this program end; programs need another.")
        return suffix

    @field_validator("lexis")
    @classmethod
    def _comments_end(cls, lexis: Lexis) -> Lexis:
        """What a comment may hold can neither end it nor begin another."""
        if not all(opening for opening, _ in [*lexis.comments, *lexis.messages]):
            raise Disagreement([Problem("comments", "read a comment that begins with nothing; give what opens it.")])
        letters = _class_of("comment_letters", lexis.comment_letters)
        _class_of("letters", lexis.letters)
        ends = {character for pair in [*lexis.comments, *lexis.messages] for character in pair[1]}
        for character in sorted({*ends, *_BREAKS}):
            if letters.match(character):
                problem = Problem("comment_letters", f"{said(character)} would end the comment; take it out.")
                raise Disagreement([problem])
        return lexis

    def _missing(self) -> Iterator[Problem]:
        """Words that every dress needs, and modes that are named but not spelled."""
        needed = [(f"groups.{group}", wanted, self.groups.get(group, {})) for group, wanted in _MODES.items()]
        needed += [("once", ("machine_frame", "dwell"), self.once), ("codes", NEEDED_CODES, self.codes)]
        for table, wanted, given in needed:
            for meaning in (one for one in wanted if one not in given):
                yield Problem(f"{table}.{meaning}", "this word is missing; every dress block may need it.")
        named = [("cancels", mode) for mode in self.cancels]
        named += [(f"aliases.{word}", mode) for word, mode in self.aliases.items()]
        # a default may name a mode that no word changes, such as how arcs are dimensioned
        worded = {group: now for group, now in self.defaults.items() if group in self.groups}
        named += [(f"defaults.{group}", f"{group}.{now}") for group, now in worded.items()]
        for word, effect in self.effects.items():
            for meaning in effect.does:
                if meaning not in SWITCHES:
                    yield Problem(f"effects.{word}.does", f"there is no switch {said(meaning)}.")
        for key, mode in named:
            group, _, meaning = mode.partition(".")
            if meaning not in (self.once if group == "once" else self.groups.get(group, {})):
                yield Problem(key, f"there is no mode {said(mode)}; give its word in [groups].")
        calls = self.flow.subprograms
        if calls is not None and calls.call and not calls.number_word:
            yield Problem("flow.subprograms.number_word", "a word that calls wants the letter of the program's number.")

    @property
    def cancelled(self) -> tuple[tuple[str, str], ...]:
        """The modes that a block cancels, as (group, meaning), in the order written."""
        return tuple((group, meaning) for group, _, meaning in (mode.partition(".") for mode in self.cancels))

    @property
    def usual_offset(self) -> str:
        """The meaning of the work offset that is in force after switching on; empty where there are none."""
        return self.defaults.get("work_offset", next(iter(self.groups.get("work_offset", ())), ""))

    @property
    def keywords(self) -> list[str]:
        """Every word of the tables that is no letter with a number, the longest first."""
        tables = [self.once, self.codes, *self.groups.values()]
        calls = self.flow.subprograms
        words = {word for table in tables for word in table.values()} | {*self.aliases, *self.known}
        words |= {calls.ends, *calls.also_ends} if calls is not None else set()
        return sorted((word for word in words if is_keyword(word)), key=lambda word: (-len(word), word))

    @property
    def modes(self) -> dict[str, tuple[str, str]]:
        """The group and the meaning of each modal word."""
        return {word: (group, meaning) for group, words in self.groups.items() for meaning, word in words.items()}

    def word(self, group: str, meaning: str) -> str:
        """The word of ``meaning`` in modal ``group``. ``KeyError`` if the control has none."""
        return self.groups[group][meaning]


def _class_of(key: str, letters: str) -> re.Pattern[str]:
    """``letters`` as a pattern of one character. :class:`Disagreement` if they are no class."""
    if not _LETTERS.fullmatch(letters):
        said_of = 'letters, ranges such as "A-Z", and signs without a backslash or a square bracket are wanted.'
        raise Disagreement([Problem(key, said_of)])
    try:
        return re.compile(f"[{letters}]")
    except re.error:
        raise Disagreement([Problem(key, "a range in this runs backwards.")]) from None


def is_keyword(word: str) -> bool:
    """Whether ``word`` is of letters, such as ``SUPA``, and not a letter with a number."""
    return word[1:2].isalpha() or word[1:2] == "_"
