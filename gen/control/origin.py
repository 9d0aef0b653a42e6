"""What a program was made from, as one short comment of its heading: digests, and the version that made it.

Four digits of a digest name which of the files is another one now; whether the
program is another one is seen by making it anew, never by these.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Iterable, Iterator
from dataclasses import fields
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from gen import __version__
from gen.base.dataclass import dataclass
from gen.base.errors import listed
from gen.base.languages import language

if TYPE_CHECKING:
    from gen.base.fields import Part

_LINE = re.compile(r"(?:N\d+\s*)?\W{1,3}FROM ((?:[0-9A-F]{4} ){4})([0-9A-Z.]+)\W{0,3}", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Origin:
    """Digests of machine file, recipe, control's templates and language, and the version of this package."""

    machine: str
    recipe: str
    template: str
    language: str
    version: str = __version__

    def __str__(self) -> str:
        return f"FROM {self.machine} {self.recipe} {self.template} {self.language} {self.version}"

    def changed_since(self, earlier: Origin) -> tuple[str, ...]:
        """What is another now than it was in ``earlier``, by name; a version with both of its numbers."""
        names = [field.name for field in fields(self) if field.name != "version"]
        changed = [name for name in names if getattr(self, name) != getattr(earlier, name)]
        if self.version.upper() != earlier.version.upper():
            changed.append(f"version ({earlier.version}, now {self.version})")
        return tuple(changed)


def read_origin(line: str) -> Origin | None:
    """The origin that the comment ``line`` tells; None if it is no such comment."""
    found = "FROM" in line.upper() and _LINE.fullmatch(line.strip())
    if not found:
        return None
    machine, recipe, template, language_digits = found[1].upper().split()
    return Origin(machine, recipe, template, language_digits, found[2])


def without_origin(lines: Iterable[str]) -> Iterator[str]:
    """``lines`` without those that tell an origin."""
    return (line for line in lines if read_origin(line) is None)


def same_but_origin(text: str, now: str) -> bool:
    """Whether two texts of programs tell the same but for what they were made from; line ends count."""
    if text == now:
        return True
    one, other = (list(without_origin(whole.splitlines(keepends=True))) for whole in (text, now))
    return one == other


def cause(now: Origin | None, earlier: Origin | None) -> str:
    """What a program no longer follows from, as part of a sentence."""
    if now is None or earlier is None:
        return "its recipe, machine, template, language or version"
    changed = now.changed_since(earlier)
    if not changed:
        return "its recipe and machine, though no file of theirs changed and the version is the same"
    return f"its {listed(changed, 'and')}"


def digest_of(part: Part) -> str:
    """Four digits for what a machine file or a recipe says, prices aside; remarks and blanks do not count."""
    return _digits(repr(part.model_dump(exclude_unset=True, exclude={"costs"})).encode(errors="surrogatepass"))


def digest_of_files(paths: Iterable[Path]) -> str:
    """Four digits for the files at ``paths``, line ends aside; one that is missing counts as empty."""
    texts = (path.read_bytes().replace(b"\r\n", b"\n") if path.is_file() else b"" for path in paths)
    return _digits(b"\0".join(texts))


@lru_cache(maxsize=16)
def digest_of_language(name: str) -> str:
    """Four digits for the files of the language ``name``."""
    return digest_of_files(sorted(path for path in language(name).folder.iterdir() if path.is_file()))


def _digits(data: bytes) -> str:
    return hashlib.sha256(data).hexdigest()[:4].upper()
