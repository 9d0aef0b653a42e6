"""``gen`` knows what a control can do, never which one it is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

import gen
from gen.control.folders import control_names

SOURCES = sorted(Path(gen.__file__).parent.rglob("*.py"))


@pytest.mark.parametrize("name", control_names())
def test_no_file_of_the_package_names_a_control(name: str) -> None:
    assert len(SOURCES) > 50
    spelled = re.compile(r"\b" + re.escape(name).replace(r"\-", "[-_ ]?"), re.IGNORECASE)
    assert [path.name for path in SOURCES if spelled.search(path.read_text())] == []


def test_no_file_of_the_package_compares_what_a_control_is_called() -> None:
    """A control's title, and a machine's key ``control``, are shown and looked up, and decide nothing."""
    compared = re.compile(
        r"(\.title|machine\.control|\bfamily|\bjudge_name)\s*(==|!=|in\b)|(==|!=)\s*\S*\.control\b(?!\.)"
    )
    assert [path.name for path in SOURCES if compared.search(path.read_text())] == []
