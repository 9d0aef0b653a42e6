"""How wide words are at most, so that a drawing leaves room for them whatever font a machine has.

The table is of DejaVu Sans 2.37, the widest of the usual sans-serif fonts and the only one of a bare Debian: the
advance widths of its ``hmtx`` table, in thousandths of the letter's height. A letter that is not listed counts as
the widest.
"""

from __future__ import annotations

from collections.abc import Mapping

_REGULAR = {
    275: "'", 278: "ijl", 295: "IJ", 318: " ,.·‘’", 337: "/:;\\|", 352: "f", 361: "-", 390: "()[]", 392: "t",
    401: "!²³", 411: "r", 460: '"', 500: "*_`°–", 518: "“”„", 521: "s", 525: "z", 531: "?", 550: "cç", 557: "L",
    575: "F", 579: "k", 592: "vxy", 603: "Pπ", 613: "TYoöøaäà", 615: "eéè", 637: "ßEhnuüñSbdgpq$0123456789{}µ€√",
    660: "Kαφ", 686: "AVÄXZB", 698: "RC", 732: "UÜ", 752: "NH", 775: "DG", 787: "&OQÖØ", 818: "w",
    838: "#+<=>^~±×÷←→≤≥≈−", 871: "M∅", 974: "%m", 1000: "W@—…",
}  # fmt: skip
_BOLD = {
    306: "'", 343: "ijl", 348: " ", 365: "/\\|", 380: "IJ,.·‘’", 400: ":;", 415: "-", 438: "f²³", 457: "!()[]",
    478: "t", 500: "r_`°–", 523: '"*', 582: "?z", 595: "cçs", 652: "Lxvy", 667: "“”„k√", 678: "aäàeéè", 687: "TEFoöøα",
    696: "$0123456789€", 719: "hnu{}üñbdgpqß", 736: "SYZPCµ", 775: "BRXAVÄK", 791: "φπ",
    821: "UÜG", 838: "DHN#+<=>^~±×÷←→≤≥≈−",
    872: "OQÖØ∅&", 924: "w", 1002: "M@—…%", 1103: "mW",
}  # fmt: skip


def _by_letter(table: Mapping[int, str]) -> dict[str, int]:
    return {letter: width for width, letters in table.items() for letter in letters}


_WIDTHS = {False: _by_letter(_REGULAR), True: _by_letter(_BOLD)}


def width(words: str, size: float, *, bold: bool = False) -> float:
    """The most that ``words`` take on one line in letters of ``size``, in the unit of ``size``."""
    table = _WIDTHS[bold]
    widest = max(table.values())
    return sum(table.get(letter, widest) for letter in words) * size / 1000


def broken_into_lines(words: str, room: float, size: float, bold: bool = False) -> list[str]:
    """``words`` broken at their spaces into lines no wider than ``room``; a longer word has a line of its own."""
    made = [""]
    for word in words.split(" "):
        longer = f"{made[-1]} {word}".strip()
        if made[-1] and width(longer, size, bold=bold) > room:
            made.append(word)
        else:
            made[-1] = longer
    return made
