"""Texts for people, kept with the templates so that a shop can translate them by copying a folder."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment

from gen.compiled import Kept
from gen.errors import DressblockError, listed, said
from gen.files import read_toml
from gen.places import data_folder


def languages() -> list[str]:
    """The languages there are: each has a folder of sheets and one of texts."""
    templates = data_folder("templates")
    return sorted(
        folder.name
        for folder in (templates / "sheets").iterdir()
        if (folder / "words.j2").is_file() and (templates / "texts" / folder.name / "cautions.toml").is_file()
    )


def known_language(name: str) -> str:
    """``name`` if there is such a language; else :class:`DressblockError` that names those there are."""
    if name not in languages():
        raise DressblockError(
            f"--language: there is no language {said(name)}; there is {listed(languages(), 'and')}. "
            "Another one is a copy of a folder each in templates/sheets and templates/texts, translated."
        )
    return name


@lru_cache(maxsize=8)
def cautions(language: str = "en") -> tuple[dict[str, str], ...]:
    """The cautions, each with a ``short`` form for programs and a ``long`` one for sheets (empty: none)."""
    tables = read_toml(data_folder("templates") / "texts" / language / "cautions.toml")
    return tuple(tables["caution"])


@lru_cache(maxsize=8)
def _environment(language: str) -> ImmutableSandboxedEnvironment:
    return ImmutableSandboxedEnvironment(
        loader=FileSystemLoader(data_folder("templates") / "texts" / language),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        autoescape=False,
        bytecode_cache=Kept("text"),
    )


def lines(template: str, values: dict[str, Any], language: str = "en") -> list[str]:
    """The lines that ``template`` makes of ``values``, blank ones left out."""
    text = _environment(language).get_template(template).render(values)
    return [line.strip() for line in text.splitlines() if line.strip()]
