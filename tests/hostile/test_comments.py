"""Whatever a recipe is called: the words of its program outside comments are those of a plain one."""

from __future__ import annotations

import re
from functools import lru_cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from controls.mixed import NAME as MIXED
from controls.mixed import made_in
from example_files import GONE, MACHINE, RECIPE, tables
from gen.base.errors import DressblockError
from gen.bounds.build import build
from gen.control.draft import Program
from gen.control.options import Options
from gen.control.seal import blocks
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe

CONTROLS = ("rs274ngc", "hash-variables", "r-variables", "iso6983")
ASIDES = {
    "rs274ngc": r"\([^)]*\)|;.*",
    "hash-variables": r"\([^)]*\)",
    "iso6983": r"\([^)]*\)",
    "r-variables": r';.*|MSG\("[^"]*"\)',
    MIXED: r"!.*|\$[^$]*\$",
}
"""A comment or a message, from each control's own ``about``; worked out here without the reader."""
ACTIVE = re.compile(r"\(\s*(DEBUG|PRINT|MSG|LOG|LOG(OPEN|APPEND|CLOSE)|PROBE(OPEN|CLOSE)|PY|ABORT)\b", re.IGNORECASE)
"""Comments that do something on RS274/NGC, from memory of the controller's open manual, "special comments"."""

SNIPPETS = [
    *(") G0 U190", "(", "((", "))", ";", '"', '")', "{}", "[]", "%", "/", "\\", "#501=0", "R1=0", "$", "?", "!"),
    *("O100 sub", "O7101", ":7101", "N10", "N100 G1 X5", "M30", "M02", "GOTO 1", "GOTOB DRESS_1", "DRESS_1:", "M98 P1"),
    *("MSG,", "MSG, all well", "PRINT,", "LOGOPEN,/tmp/x", "PROBEOPEN x", "PY,", "DEBUG,#1", 'MSG("'),
    *("BEGIN DRESS 7101 SEAL 0123456789ABCDEF", "END DRESS 7101", "BEGIN  DRESS 1", "END CALL 1", "DRESS HERE"),
    *("MACHINE x", "RECIPE ../../x", "FORM BLOCK", "RIGHT ONLY FOR STICK LENGTH 1 MM", "PROVE-OUT ONLY"),
    # look-alikes, and letters that become several in capitals
    *("（", "）", "﹙", "⁽", "；", "％", "ß", "ﬁ", "ŉ", "İ", "ı", "ǰ", "К", "\u00a0", "\u200b", "\u202e", "\u2028"),
    *("\x85", "\n", "\r", "\t", "\x00", "\x1a", "\x7f", "{{ 7 * 7 }}", "{% raw %}", "{# #}", "=cmd|' /C calc'!A1"),
    "x" * 95 + " LOGOPEN,/tmp/x",
    "x" * 90 + " MSG, all well",
]
TEXTS = st.one_of(
    st.lists(st.sampled_from(SNIPPETS), min_size=1, max_size=6).map(" ".join),
    st.lists(st.one_of(st.sampled_from(SNIPPETS), st.text(max_size=20)), min_size=1, max_size=6).map("".join),
    st.text(min_size=1, max_size=120),
)
SHOWN = TEXTS.map(lambda text: "".join(filter(str.isprintable, text)).strip()[:120].strip()).filter(bool)
"""What a file may say; the rest is refused before there is a program."""


def program(control: str, names: tuple[str, str], texts: dict[str, str], folders: tuple[Path, ...] = ()) -> Program:
    changes: dict[str, object] = {
        "control": control,
        "host": GONE,
        "codes": {},
        "dresser.machine_frame_feeds": True,
    }
    if control == "iso6983":
        changes["registers"] = GONE
    machine = Machine.model_validate(tables(MACHINE, {**changes, "title": texts["machine"]}))
    keys = {"title": "title", "wheel": "wheel.name", "shape": "wheel.shape", "grit": "stick.grit"}
    recipe = Recipe.model_validate(tables(RECIPE, {dotted: texts[key] for key, dotted in keys.items()}))
    return build(recipe, machine, names, Options(form="program", control_folders=folders))


def outside(made: Program, control: str) -> list[str]:
    """The lines of ``made`` without comments, marks and line numbers."""
    lines = (re.sub(ASIDES[control], "", line, flags=re.IGNORECASE) for line in made.text.splitlines())
    return [kept for line in lines if (kept := "".join(line.split()))]


PLAIN = {"title": "Plain", "wheel": "Wheel", "shape": "1A1", "grit": "F400", "machine": "Bench"}


@lru_cache(maxsize=8)
def plain_one(control: str, folders: tuple[Path, ...]) -> Program:
    return program(control, ("bench", "plain"), PLAIN, folders)


def check(control: str, texts: dict[str, str], names: tuple[str, str], folders: tuple[Path, ...] = ()) -> None:
    plain = plain_one(control, folders)
    try:
        made = program(control, names, texts, folders)
    except DressblockError as refused:
        if "cannot hold" not in str(refused):
            raise
        # a name that could not be read back is refused
        made = program(control, ("bench", "plain"), texts, folders)
    assert outside(made, control) == outside(plain, control)
    assert [finding.rule for finding in made.findings] == [finding.rule for finding in plain.findings]
    marked = list(blocks(made.text.splitlines()))
    assert [(one.number, one.altered) for one in marked] == [(7101, False)]
    assert len(list(blocks(made.text.splitlines(), ("DRESS", "PROVE-OUT", "CALL", "RETURN")))) == 1
    allowed = set(map(chr, range(32, 127))) | set(made.dialect.control.lexis.line_ending)
    assert set(made.text) <= allowed
    if control == "rs274ngc":
        assert len(ACTIVE.findall(made.text)) == len(ACTIVE.findall(plain.text))


@pytest.mark.parametrize("control", CONTROLS)
@given(texts=st.fixed_dictionaries(dict.fromkeys(("title", "wheel", "machine"), SHOWN)), names=st.tuples(TEXTS, TEXTS))
@settings(max_examples=25, deadline=None)
def test_no_text_gets_out_of_its_comment(control: str, texts: dict[str, str], names: tuple[str, str]) -> None:
    check(control, {**PLAIN, **texts}, names)


@pytest.mark.parametrize("control", CONTROLS)
@pytest.mark.parametrize("snippet", SNIPPETS)
def test_each_trick_by_itself(control: str, snippet: str) -> None:
    """Where a file may say it, the program's words stay; where not, the file is refused."""
    if snippet.strip() and snippet.strip().isprintable():
        check(control, {**PLAIN, "title": snippet, "wheel": snippet, "machine": snippet}, (snippet, snippet))
    else:
        with pytest.raises(ValidationError):
            program(control, ("bench", "plain"), {**PLAIN, "title": snippet})
        check(control, PLAIN, (snippet, snippet))


def test_a_shops_own_control_is_as_tight(tmp_path: Path) -> None:
    folder = made_in(tmp_path)
    for snippet in SNIPPETS:
        check(MIXED, PLAIN, (snippet, snippet), (folder,))


@pytest.mark.parametrize(
    ("letters", "says"),
    [
        ("A-Z)", '")" would end the comment'),
        (" -~", '")" would end the comment'),
        ("A-Z\n", "would end the comment"),
        ("A-Z]|.[", "without a backslash or a square bracket"),
        (r"A-Z\s", "without a backslash or a square bracket"),
        ("^A", "without a backslash or a square bracket"),
        ("Z-A", "runs backwards"),
        ("", "without a backslash or a square bracket"),
    ],
)
def test_a_control_cannot_let_its_comments_be_ended(letters: str, says: str) -> None:
    from gen.base.errors import explain
    from gen.control.folders import load_control
    from gen.control.model import Control

    table = load_control("hash-variables").model_dump(mode="json", by_alias=True, exclude_none=True)
    table["lexis"]["comment_letters"] = letters
    with pytest.raises(ValidationError) as caught:
        Control.model_validate(table)
    told = str(explain(caught.value, Control, file="control.toml"))
    assert told.startswith("control.toml: lexis.comment_letters: ")
    assert says in told
