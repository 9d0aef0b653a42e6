"""Texts for people, kept with the templates so that a shop can translate them by copying a folder."""

from __future__ import annotations

from functools import lru_cache
from typing import Any

from jinja2 import FileSystemLoader, StrictUndefined
from jinja2.sandbox import ImmutableSandboxedEnvironment

from gen.files import read_toml
from gen.places import data_folder


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
    )


def lines(template: str, values: dict[str, Any], language: str = "en") -> list[str]:
    """The lines that ``template`` makes of ``values``, blank ones left out."""
    text = _environment(language).get_template(template).render(values)
    return [line.strip() for line in text.splitlines() if line.strip()]
