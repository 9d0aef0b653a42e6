"""Texts for people, kept in a folder for each language so that a shop can translate them by copying one."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import lru_cache
from pathlib import Path
from typing import Any, Literal, TypeAlias

from jinja2 import TemplateError

from gen.base.dataclass import dataclass
from gen.base.errors import DressblockError, listed, said
from gen.base.files import read_toml
from gen.base.pages import OwnPages, Pages
from gen.base.places import data_folder
from gen.base.sandbox import reason

Escaping: TypeAlias = Literal["page", "text"]
"""What is put into a ``page`` is escaped."""

FILES = (
    "language.toml",
    "cautions.toml",
    "words.j2",
    "charts.j2",
    "limits.j2",
    "answers.j2",
    "trial.j2",
    "heading.j2",
    "page.j2",
)
"""What a language's folder holds."""

CAUTIONS = 12
"""How many cautions there are in every language; none may be left out."""

_BLANKS = re.compile(r"\n{3,}")
_UNIT = re.compile(r"[^\W_][\w/]{0,9}")
_TAG = re.compile(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*")


@dataclass(frozen=True, slots=True)
class Language:
    """``tag`` is what a page calls it (BCP 47), ``decimal`` what stands before the decimals of its numbers.

    ``rpm`` is the unit of a spindle speed.
    """

    folder: Path
    tag: str
    decimal: str
    own: bool
    rpm: str = "rpm"

    def marked(self, number: str) -> str:
        """``number``, which has a decimal point, with this language's mark in its place."""
        return number.replace(".", self.decimal)


def languages() -> list[str]:
    """The languages that ship with the package."""
    return sorted(folder.name for folder in _shipped().iterdir() if folder.is_dir())


def _shipped() -> Path:
    return data_folder("templates") / "languages"


@lru_cache(maxsize=16)
def language(name: str) -> Language:
    """The language ``name``: one that ships with the package, or the folder of another.

    :class:`DressblockError` if there is no such language, or its folder lacks something.
    """
    own = name not in languages()
    folder = Path(name) if own else _shipped() / name
    if not folder.is_dir():
        raise DressblockError(
            f"--language: there is no language {said(name)}; there is {listed(map(said, languages()), 'and')}, or the "
            f"folder of your own: a copy of {_shipped() / 'en'}, translated."
        )
    missing = [file for file in FILES if not (folder / file).is_file()]
    if missing:
        raise DressblockError(
            f"this language lacks {listed(missing, 'and')}; copy what is missing from {_shipped() / 'en'}.",
            file=folder,
        )
    where = folder / "language.toml"
    table = read_toml(where)
    tag, decimal = table.get("tag"), table.get("decimal")
    if not isinstance(tag, str) or not _TAG.fullmatch(tag):
        raise DressblockError('this must be the language\'s tag, such as "en" or "pt-BR".', file=where, key="tag")
    if decimal not in (".", ","):
        raise DressblockError('this must be "." or ",".', file=where, key="decimal")
    rpm = table.get("rpm", "rpm")
    if not isinstance(rpm, str) or not _UNIT.fullmatch(rpm):
        raise DressblockError('this must be a short unit, such as "rpm" or "1/min".', file=where, key="rpm")
    return Language(folder, tag, decimal, own, rpm)


@lru_cache(maxsize=16)
def cautions(name: str = "en") -> tuple[dict[str, str], ...]:
    """The cautions, each with a ``short`` form for programs and a ``long`` one for sheets (empty: none).

    :class:`DressblockError` unless all of them are there: none is optional.
    """
    where = language(name).folder / "cautions.toml"
    tables = read_toml(where).get("caution", [])
    texts = [one for one in tables if isinstance(one, dict)] if isinstance(tables, list) else []
    if any(not isinstance(one.get(form), str) for one in texts for form in ("short", "long")):
        raise DressblockError('every caution has two texts, "short" and "long".', file=where)
    if len(texts) != CAUTIONS or not all(one["short"].strip() for one in texts):
        raise DressblockError(
            f"there must be {CAUTIONS} cautions, each with a short form; none may be left out.", file=where
        )
    whole = [bool(one["long"].strip()) for one in texts]
    wanted = whole if name == "en" else _long()
    if own_long := [index for index, (here, there) in enumerate(zip(whole, wanted, strict=True), 1) if there > here]:
        raise DressblockError(f"caution {own_long[0]} has no long form; none may be left out.", file=where)
    return tuple(texts)


@lru_cache(maxsize=1)
def _long() -> tuple[bool, ...]:
    """Which of the cautions must have a long form: the others' are part of the one before."""
    return tuple(bool(one["long"]) for one in read_toml(_shipped() / "en" / "cautions.toml")["caution"])


@lru_cache(maxsize=16)
def _pages(name: str, kind: Escaping) -> Pages:
    one, templates = language(name), data_folder("templates")
    folders = [templates / "sheets", templates / "charts"]
    if one.own:
        return OwnPages(folders, one.folder, escape=kind == "page")
    return Pages([*folders, one.folder], escape=kind == "page", kept=f"plain-{kind}")


def rendered(name: str, kind: Escaping, template: str, values: Mapping[str, Any]) -> str:
    """What ``template``, worded in the language ``name``, makes of ``values`` and of that ``language``'s tag."""
    tag = language(name).tag
    return _told(name, lambda: _pages(name, kind).fresh(template).render(values, language=tag))


def told(name: str, macro: str, *values: object, template: str = "answers.j2") -> str:
    """What the macro of that name in ``template`` makes of ``values``; no two blank lines in a row."""
    text = _told(name, lambda: getattr(_pages(name, "text").fresh(template).module, macro)(*values))
    return _BLANKS.sub("\n\n", "\n".join(line.rstrip() for line in text.splitlines())).strip("\n")


def _told(name: str, made: Any) -> str:
    try:
        return str(made())
    except (TemplateError, AttributeError, TypeError, RecursionError, MemoryError, SyntaxError, ValueError) as error:
        if not language(name).own:
            raise
        where = language(name).folder
        if (file := getattr(error, "name", None)) in FILES:
            where /= str(file)
        why = "it is nested too deeply" if isinstance(error, RecursionError | MemoryError) else reason(error)
        raise DressblockError(f"this language cannot be used: {why}.", file=where) from None
