"""From characters to lines: comments, messages, spaces, block delete, line numbers, labels."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from functools import lru_cache

from gen.base.dataclass import dataclass
from gen.control.model import Control
from gen.control.tables import Lexis

_NUMBER = re.compile(r"N([0-9]{1,9})(?:\.[0-9]+)?")
_PLAIN_NUMBER = re.compile(r"[ \t]*[Nn]([0-9]{1,9})[ \t]*[A-Za-z]")

_LONG = 500


@dataclass(slots=True)
class Source:
    """One line: ``code`` has no comments and no spaces and is in capitals; ``label`` is its N number.

    ``name`` is the label it begins with, ``spaced`` the whole line with its spaces, of which as many characters as
    ``beginning`` stand before the code. ``switch`` numbers the block-delete switch of a deletable line. ``refused``
    says why the control does not take the line at all, ``acts`` what a comment of it does that the reader does not
    follow, ``stops`` the message with which a comment ends the program.
    """

    line: int
    text: str
    code: str
    comments: tuple[str, ...]
    messages: tuple[str, ...]
    deletable: bool
    label: int | None
    name: str
    spaced: str
    switch: int = 1
    refused: str = ""
    acts: str = ""
    stops: str | None = None
    beginning: int = 0

    def code_with_spaces(self) -> str:
        """The code as it was written: without block delete, number and label."""
        rest = self.spaced
        for _ in range(self.beginning):
            rest = rest.lstrip()[1:]
        return rest.lstrip()


class Lexer:
    """Makes a :class:`Source` of a line, by the tables of a control."""

    def __init__(self, control: Control) -> None:
        lexis = control.lexis
        self._delete = lexis.block_delete
        self._tape_mark = lexis.tape_mark
        self._prefix = lexis.message_prefix.upper()
        self._message_ends = lexis.message_ends
        self._numbered = lexis.block_delete_numbers
        self._strange = re.compile(f"[^{lexis.letters}]")
        self._longest = lexis.line_length
        self._acting = {begin.upper(): how for begin, how in lexis.acting_comments.items()}
        self._aside = re.compile("|".join(_asides(lexis)) or r"(?!)", re.IGNORECASE)
        self._pairs = [*lexis.messages, *lexis.comments]
        self._messages = len(lexis.messages)
        jumps = control.flow.jumps
        named = jumps is not None and jumps.target == "label"
        self._name = re.compile(rf"([A-Z_]{{2}}[A-Z0-9_]*){re.escape(jumps.label_end)}") if jumps and named else None
        begins = (opening[:1] for opening in (*(opening for opening, _ in self._pairs), self._delete))
        self._begins = {case for begin in begins for case in (begin.upper(), begin.lower())}

    def is_tape_mark(self, text: str) -> bool:
        return bool(self._tape_mark) and text.strip().startswith(self._tape_mark)

    def label(self, text: str) -> int | None:
        """The sequence number of the line ``text``, which is taken apart only where it begins otherwise than N10 G."""
        plain = _PLAIN_NUMBER.match(text)
        if plain is not None and self._begins.isdisjoint(plain[0]):
            return int(plain[1])
        return self.source(1, text).label

    def source(self, line: int, text: str) -> Source:
        """The line ``text``, taken apart."""
        if len(text) > _LONG:
            text = _without_hopeless(text, self._pairs)
        comments: list[str] = []
        messages: list[str] = []
        last: dict[str, str] = {}

        def collect(found: re.Match[str]) -> str:
            which = found.lastindex or 0
            said = found[which].strip()
            if which <= self._messages:
                messages.append(said)
                return ""
            comments.append(said)
            # where several comments of one kind share a line, only the last of them acts (NIST IR 6556, from memory)
            last[self._pairs[which - 1][0]] = said
            return ""

        spaced = self._aside.sub(collect, text)
        refused = self._refused(text, spaced)
        spaced = spaced.strip().upper()
        code = "".join(spaced.split())
        whole = len(code)
        shown = last.get(self._pairs[self._messages][0], "") if len(self._pairs) > self._messages else ""
        if self._prefix and shown.upper().startswith(self._prefix):
            messages.append(shown[len(self._prefix) :].strip())
        acts, stops = self._deeds(last)
        deletable, switch = bool(self._delete) and code.startswith(self._delete), 1
        if deletable:
            code = code[len(self._delete) :]
            if self._numbered and "0" <= code[:1] <= "9":
                switch, code = int(code[0]), code[1:]
        number = _NUMBER.match(code)
        if number:
            code = code[number.end() :]
        name = self._name.match(code) if self._name else None
        if name:
            code = code[name.end() :]
        beginning = whole - len(code)
        if self._message_ends and code == self._message_ends:
            messages.append("")
            code = ""
        return Source(
            line,
            text.strip(),
            code,
            tuple(comments),
            tuple(messages),
            deletable,
            int(number[1]) if number else None,
            name[1] if name else "",
            spaced,
            switch,
            refused,
            acts,
            stops,
            beginning,
        )

    def _refused(self, text: str, code: str) -> str:
        """Why the control does not take the line ``text``, whose words are ``code``; empty if it does."""
        if len(text) > self._longest or (
            len(text) * 4 > self._longest and len(text.encode(errors="surrogateescape")) > self._longest
        ):
            return f"this line is longer than the {self._longest} characters that this control is known to take"
        if "\r" in text:
            return "a carriage return stands inside this line, and only some controls end a line there"
        if strange := self._strange.search(code):
            return f"this control has no character U+{ord(strange[0]):04X} outside of comments"
        return ""

    def _deeds(self, comments: Mapping[str, str]) -> tuple[str, str | None]:
        """What ``comments``, by the characters that open them, do; and the message with which they end the program."""
        acts, stops = "", None
        for opening, said in comments.items() if self._acting else ():
            for begin, how in self._acting.items():
                if (opening + said).upper().startswith(begin):
                    rest = said[len(begin) - len(opening) :].strip()
                    acts, stops = (acts, rest) if how == "stops" else (opening + said, stops)
        return acts, stops


def _without_hopeless(text: str, pairs: Iterable[tuple[str, str]]) -> str:
    """``text`` with "?" where a comment opens that nothing ends: each would be followed to the line's end."""
    for opening, closing in pairs:
        if closing:
            last = text.rfind(closing)
            end = last + len(closing) if last >= 0 else 0
            text = text[:end] + text[end:].replace(opening, "?" * len(opening))
    return text


def _asides(lexis: Lexis) -> list[str]:
    """A pattern with one group for each kind of message, then for each kind of comment."""
    messages = [
        rf"{re.escape(opening)}([^{re.escape(closing[:1])}]*+){re.escape(closing)}"
        for opening, closing in lexis.messages
    ]
    comments = [f"{re.escape(opening)}({_inside(closing)}){re.escape(closing)}" for opening, closing in lexis.comments]
    return messages + comments


def _inside(closing: str) -> str:
    """A pattern of what stands before ``closing``, without a way back: a line full of openings is read soon."""
    match len(closing):
        case 0:
            return ".*"
        case 1:
            return f"[^{re.escape(closing)}]*+"
        case _:
            return ".*?"


lexer_of = lru_cache(32)(Lexer)
