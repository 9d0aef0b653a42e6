"""Systematic single edits of a program: words, numbers, modes, order, guards, expressions, stores, marks, characters.

Every edit is one that a person or an editor could make: a line lost, doubled or
moved, a digit, a sign, an operator, a register, a word, a line put in.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass

from controls import mixed

from .bench import Lines


@dataclass(frozen=True)
class Spelling:
    """How a control writes what the edits put in."""

    comment: str
    """Where the code of a line ends: a pattern."""
    sigil: str
    brackets: tuple[str, str]
    compared: dict[str, str]
    swaps: tuple[tuple[str, str], ...]
    put_in: tuple[str, ...]
    only_some: Callable[[str], str]
    """An expression that is 1 for stick lengths that none of the tried states has, and 0 for all others."""

    def number(self, register: int) -> str:
        return f"{self.sigil}{register}"


_HASH_SWAPS = (
    (r"\bGE\b", "GT"), (r"\bGE\b", "LE"), (r"\bLE\b", "GE"), (r"\bLE\b", "LT"), (r"\bEQ\b", "NE"), (r"\bEQ\b", "GE"),
    (r"\bROUND\b", "FIX"), (r"\bROUND\b", "FUP"), (r"\bFIX\b", "ROUND"), (r"\bFIX\b", "FUP"),
    (r"(?<=[\d\]])-", "+"), (r"(?<=[\d\]])\+", "-"), (r"\*", "/"), (r"(?<=[\d\]])/", "*"),
)  # fmt: skip
_WORD_SWAPS = (
    (r"\bG0\b", "G1"), (r"\bG1\b", "G0"), (r"\bG90\b", "G91"), (r"\bG94\b", "G95"), (r"\bG94\b", "G93"),
    (r"\bG17\b", "G18"), (r"\bG40\b", "G41"), (r"\bM3\b", "M4"), (r"\bM8\b", "M9"), (r"\bM9\b", "M8"),
    (r"\bM5\b", "M3"), (r"\bM49\b", "M48"), (r"\bM48\b", "M49"), (r"\bM30\b", "M2"), (r"\bM30\b", "M0"),
    (r"\bM2\b", "M0"), (r"\bU", "Z"), (r"\bU", "V"), (r"\bZ", "X"), (r"\bF(?=\d|\[|#|=)", "S"), (r"\bG97\b", "G96"),
)  # fmt: skip
_PUT_IN = ("G91", "G95", "M0", "M1", "M9", "M5", "M3 S20000", "G18", "G64", "T2", "M60", "G55", "F100")

SPELLINGS = {
    "rs274ngc": Spelling(
        r"[(;]", "#", ("[", "]"), {}, (*_HASH_SWAPS, *_WORD_SWAPS, (r"\bG21\b", "G20"), (r"\bG53\b ", "")),
        (*_PUT_IN, "G53 G0 U60", "G53 G1 U60 F100", "G0 U60", "G92 U5", "G10 L2 P1 U5", "G4 P1", "#502 = [#502-1]",
         "#504 = [0]", "#503 = [3]", "#100 = [5]", "#501 = [#501*25.4]", "G20", "M66 P0 L0"),
        lambda stick: f"[[{stick} GT 140.5] AND [{stick} LT 149.95]]",
    ),
    "hash-variables": Spelling(
        r"\(", "#", ("[", "]"), {}, (*_HASH_SWAPS, *_WORD_SWAPS, (r"\bG21\b", "G20"), (r"\bG53\b ", ""),
         (r"\bM30\b", "M99"), (r"(?<=\d)\.", "")),
        (*_PUT_IN, "G53 G0 U60.", "G53 G1 U60. F100.", "G0 U60.", "G92 U5.", "G10 L2 P1 U5.", "G4 X1.", "#502=#502-1",
         "#504=0", "#503=3", "#100=5", "#501=#501*25.4", "G20", "G4 X0", "GOTO 9009", "IF [#502 GT 145] GOTO 9009",
         "M98 P8000"),
        lambda stick: f"[[[{stick} GT 140.5]*1]*[[{stick} LT 149.95]*1]]",
    ),
    "r-variables": Spelling(
        r";", "R", ("(", ")"), {},
        ((r">=", ">"), (r">=", "<="), (r"<=", ">="), (r"<=", "<"), (r"==", "<>"), (r"==", ">="),
         (r"\bROUND\b", "TRUNC"), (r"\bROUND\b", "ROUNDUP"), (r"\bTRUNC\b", "ROUND"), (r"\bTRUNC\b", "ROUNDUP"),
         (r"(?<=[\d)])-", "+"), (r"(?<=[\d)])\+", "-"), (r"\*", "/"), (r"(?<=[\d)])/", "*"), *_WORD_SWAPS,
         (r"\bG710\b", "G700"), (r"\bSUPA\b ", ""), (r"\bM30\b", "M17"), (r"GOTOB", "GOTOF"), (r"GOTOF", "GOTOB")),
        (*_PUT_IN, "SUPA G0 U60", "SUPA G1 U60 F100", "G0 U60", "TRANS U5", "G4 F1", "R502=R502-1", "R504=0", "R503=3",
         "R100=5", "R501=R501*25.4", "G700", "STOPRE", "GOTOF DRESS_9009", "IF R502>145 GOTOF DRESS_9009", "L8000"),
        lambda stick: f"(({stick}>140.5)*({stick}<149.95))",
    ),
    mixed.NAME: Spelling(
        r"[!$]", "R", ("(", ")"), {},
        ((r">=", ">"), (r">=", "<="), (r"<=", ">="), (r"<=", "<"), (r"(?<= )= ", "# "), (r"(?<= )= ", ">= "),
         (r"\bRND\b", "INT"), (r"\bRND\b", "RUP"), (r"\bINT\b", "RND"), (r"\bINT\b", "RUP"),
         (r"(?<=[\d)])-", "+"), (r"(?<=[\d)])\+", "-"), (r"\*", ":"), (r"(?<=[\d)]):", "*"), *_WORD_SWAPS,
         (r"\bG71\b", "G70"), (r"\bMACHINE\b ", ""), (r"\bM13\b", "M14"), (r"\bM18\b", "M19"), (r"\bM19\b", "M18"),
         (r"\bM15\b", "M13"), (r"\bG98\b", "G99"), (r"\bM2\b", "M97")),
        ("G91", "G99", "M0", "M19", "M15", "M13 S20000", "G18", "T2", "M60", "G55", "F1000", "MACHINE G0 U60000",
         "MACHINE G1 U60000 F1000", "G0 U60000", "G7 H100", "R502=R502-1", "R504=0", "R503=3", "R100=5",
         "R501=R501*25.4", "G70", "STANDSTILL", "GOTO 9009", "IF (R502 > 145) GOTO 9009", "G65 P8000"),
        lambda stick: f"(({stick} > 140.5)*({stick} < 149.95))",
    ),
}  # fmt: skip

_NUMBER = re.compile(r"(?<![\d.])\d+\.?\d*")
_WORD = re.compile(r"(?<!\S)[A-Z]+[-\d.]*\d*(?!\S)")


@dataclass(frozen=True)
class Edit:
    """What was done at which line, and the lines that came of it."""

    name: str
    line: int
    lines: Lines


def edits(lines: Lines, control: str) -> Iterator[Edit]:
    """Every edit of the lines of a program, from its first to its last; the comments of its head aside."""
    spelling = SPELLINGS[control]
    begin = next(at for at, line in enumerate(lines) if "BEGIN " in line)
    seen: set[tuple[str, ...]] = {tuple(lines)}
    for at, line in enumerate(lines):
        found = re.search(spelling.comment, line)
        code = line[: found.start()] if found else line
        if not code.strip() and at < begin + 30 and "MSG" not in line and "$" not in line:
            edited = _mark(line)  # a remark of the head
        else:
            edited = _line(line, code, spelling)
        for name, new in edited:
            changed = [*lines[:at], *new, *lines[at + 1 :]]
            if tuple(changed) not in seen:
                seen.add(tuple(changed))
                yield Edit(f"{name}: {' | '.join(new)}"[:120], at + 1, changed)
        for name, changed in _order(lines, at, spelling):
            if tuple(changed) not in seen:
                seen.add(tuple(changed))
                yield Edit(name, at + 1, changed)


def _mark(line: str) -> Iterator[tuple[str, Lines]]:
    found = re.search(r"(BEGIN|END) ([A-Z-]+) (\d+)", line)
    if found is None:
        return
    yield "mark lost", []
    yield "mark of another number", [line.replace(found[3], str(int(found[3]) + 1))]
    for kind in ("DRESS", "PROVE-OUT", "GAP-CHECK", "CALL", "RETURN"):
        yield f"mark of a {kind}", [line.replace(found[2], kind)]
    yield "mark in small letters", [line.lower()]


def _line(line: str, code: str, spelling: Spelling) -> Iterator[tuple[str, Lines]]:
    """The edits within one line, but for the first of them, which takes it out."""
    rest = line[len(code) :]
    yield "line lost", []
    yield "line doubled", [line, line]
    if rest.strip():
        yield "remark lost", [code.rstrip()]
        yield "remark changed", [line[:-2] + "X" + line[-2:]]
    if not code.strip():
        return
    yield "deletable", ["/" + line]
    yield "second switch", ["/2 " + line]
    for name, new in _characters(line, code):
        yield name, [new + rest]
    for pattern, other in spelling.swaps:
        for found in re.finditer(pattern, code):
            yield "swapped", [code[: found.start()] + other + code[found.end() :] + rest]
    for found in _NUMBER.finditer(code):
        for number in _numbers(found[0]):
            yield "number", [code[: found.start()] + number + code[found.end() :] + rest]
        yield "sign", [code[: found.start()] + "-" + code[found.start() :] + rest]
    for found in _WORD.finditer(code):
        yield "word lost", [(code[: found.start()] + code[found.end() :].lstrip()).strip() + rest]
    if "=" in code and not code.lstrip().startswith(("IF", "O")):
        yield from (("hidden term", [new + rest]) for new in _hidden(code, spelling))
    yield from (("guard", [new + rest]) for new in _guards(code))


def _characters(line: str, code: str) -> Iterator[tuple[str, str]]:
    yield "small letters", code.lower()
    yield "tab", code.replace(" ", "\t", 1)
    yield "two blanks", code.replace(" ", "  ", 1)
    yield "no blanks", code.replace(" ", "")
    yield "no-break space", code.replace(" ", "\u00a0", 1)
    yield "form feed", code + "\x0c"
    yield "letter O for 0", code.replace("0", "O", 1)
    yield "long s", code.replace("S", "\u017f", 1)
    yield "last character lost", code.rstrip()[:-1]
    yield "first character lost", code[1:]
    yield "bracket lost", code.replace("]", "", 1).replace(")", "", 1)


def _numbers(number: str) -> Iterator[str]:
    value = float(number)
    yield f"{value + 1:.10g}"
    yield f"{value * 10:.10g}"
    yield f"{value / 10:.10f}".rstrip("0")
    yield "0"
    yield number + ("0" if "." in number else ".")
    yield "0" + number
    yield f"{value + 0.00001:.5f}"


def _hidden(code: str, spelling: Spelling) -> Iterator[str]:
    """A term that acts only where nobody tries it, or counts with what nobody asks for."""
    number, (left, right) = spelling.number, spelling.brackets
    head, _, value = code.rstrip().partition("=")
    value = value.strip()
    only = spelling.only_some(number(502))
    for term in (f"-{only}*20", f"+{only}*0.5", f"-{number(503)}", f"-{number(503)}*0.01", f"+{number(504)}",
                 f"+{number(100)}", "+0.001", "*1.00001", "+0", "*1"):  # fmt: skip
        yield f"{head}={left}{left}{value}{right}{term}{right} "
    for register in (501, 502, 503, 504, 591, 592):
        for found in re.finditer(rf"{re.escape(spelling.sigil)}(\d+)", value):
            yield f"{head}={value[: found.start()]}{number(register)}{value[found.end() :]} "


def _guards(code: str) -> Iterator[str]:
    """A hole in a guard; a comparison that always or never holds."""
    for found in re.finditer(r"\[#(\d+) (GE|LE|EQ) ([\d.]+)\]", code):
        for other in ("[#{0} {1} {2}] OR [#{0} EQ 60]", "[#{0} {1} {2}] OR [#503 EQ 77]", "1 EQ 1", "1 EQ 0",
                      "[#{0} {1} {2}] AND [#503 LT 77]", "#{0} {1} [{2}+#100]"):  # fmt: skip
            yield code[: found.start()] + "[" + other.format(*found.groups()) + "]" + code[found.end() :]
    for found in re.finditer(r"(?<=IF )R(\d+)(>=|<=|==)([\d.]+)", code):
        for other in ("((R{0}{1}{2}) OR (R{0}==60))==1", "((R{0}{1}{2})+(R503==77))>0", "1==1", "1==0",
                      "R{0}{1}({2}+R100)"):  # fmt: skip
            yield code[: found.start()] + other.format(*found.groups()) + code[found.end() :]
    for found in re.finditer(r"\(R(\d+) (>=|<=|=) ([\d.]+)\)", code):
        for other in ("((R{0} {1} {2})+(R{0} = 60)) > 0", "((R{0} {1} {2})+(R503 = 77)) > 0", "1 = 1", "1 = 0",
                      "R{0} {1} {2}+R100"):  # fmt: skip
            yield code[: found.start()] + "(" + other.format(*found.groups()) + ")" + code[found.end() :]


def _order(lines: Lines, at: int, spelling: Spelling) -> Iterator[tuple[str, Lines]]:
    """The line swapped with the next; another one put in behind it."""
    if at + 1 < len(lines):
        yield "swapped with the next", [*lines[:at], lines[at + 1], lines[at], *lines[at + 2 :]]
    if at % 4 == 0:
        for new in spelling.put_in:
            yield f"put in: {new}", [*lines[: at + 1], new, *lines[at + 1 :]]
