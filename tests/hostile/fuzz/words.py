"""Words worth trying in any place: libFuzzer's dictionary."""

from __future__ import annotations

import re
from collections.abc import Iterable

TRICKS = (
    *("1e999999999", "nan", "-0", "+inf", "9" * 60, "0x10", "1979-05-27", "true", "'''", '"""', "[[", "{}", "[a.b]"),
    *('"0 mm"', '"-1 mm"', '"99999999 m/s"', '"0.0000000001 mm"', '"1 km"', '"1e9 mm"', '"5 deg"', "\x00", "\ufeff"),
    *("O1 sub", "O1 endsub", "O1 call", "O1 while [1]", "O1 endwhile", "O1 repeat [1000000000]", "O1 endrepeat"),
    *("GOTO 1", "GOTOB A", "GOTOF A", "A:", "WHILE[1]DO1", "END1", "M98 P1", "M99", "M98 P1 L999999", "IF[1]GOTO 1"),
    *("#[#[#1]]", "#1=#1+1", "R1=R1+1", "**", "/0", "ATAN[1]/[0]", "SQRT[-1]", "LN[0]", "EXP[9999]", "MOD"),
    *("DRESS HERE", "BEGIN DRESS 7101 SEAL 0123456789ABCDEF", "END DRESS 7101", "BEGIN CALL 1", "END CALL 1"),
    *("\u202e", "\u2028", "\x85", "\x1b[2J", "\uff08", "\r", "\xa0"),
)


def dictionary(seeds: Iterable[bytes]) -> str:
    """The tricks, and each word of ``seeds``, one a line as libFuzzer reads them."""
    found = {word for seed in seeds for word in re.findall(rb'"[^"\n]{1,24}"|[\w.-]{2,24}', seed)}
    words = sorted(found)[:1500] + [word.encode() for word in TRICKS]
    return "".join(f'"{_hexadecimal(word)}"\n' for word in words)


def _hexadecimal(word: bytes) -> str:
    return "".join(f"\\x{byte:02x}" for byte in word)
