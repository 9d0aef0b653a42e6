"""What the operator is shown: number first, in the chosen language, no longer than the control's display."""

from __future__ import annotations

import re
import shutil
from itertools import product
from pathlib import Path
from typing import Any, get_args

import pytest

from controls import mixed
from gen.base.errors import DressblockError
from gen.base.languages import languages
from gen.base.places import data_folder
from gen.control.folders import load_control
from gen.control.messages import messages_in
from gen.order.notice import Kind, Notice
from gen.paper.sheet import sheet
from lanes import bench

CONTROLS = ("rs274ngc", "hash-variables", "r-variables", "iso6983", mixed.NAME)
LENGTHS = {"mm": "1234.56 MM", "inch": "12.3456 IN"}


def notices() -> list[Notice]:
    """Every message that a program may have, with limits as long as they come."""
    found = []
    for kind in get_args(Kind):
        if kind.startswith("wheel"):
            found += [
                Notice(kind, limit, wheel, gauge)
                for limit, wheel, gauge in product(LENGTHS.values(), range(9), (True, False))
            ]
        elif kind in ("stick-below", "stick-above"):
            found += [Notice(kind, limit) for limit in LENGTHS.values()]
        else:
            found.append(Notice(kind, "" if kind == "stick-used-up" else "400"))
    return found


@pytest.mark.parametrize("control", CONTROLS)
@pytest.mark.parametrize("language", languages())
def test_every_message_fits_every_display(control: str, language: str, folder: Path) -> None:
    spoken = load_control(control, (folder,))
    say = messages_in(language, spoken)
    for notice in notices():
        shown = say(notice)
        assert len(shown) <= spoken.lexis.message_length
        assert shown.split()[0] == str(notice.number)
        assert not notice.limit or notice.kind in ("interrupted", "lane-fraction") or notice.limit in shown


def test_no_two_messages_have_one_number() -> None:
    kinds = get_args(Kind)
    numbers = [Notice(kind).number for kind in kinds]
    numbers += [Notice(kind, wheel=wheel).number for kind in kinds if kind.startswith("wheel") for wheel in range(1, 9)]
    assert len(set(numbers)) == len(numbers)


def test_a_short_form_is_taken_where_the_long_one_does_not_fit(folder: Path) -> None:
    notice = Notice("interrupted")
    assert (
        messages_in("en", load_control("rs274ngc", (folder,)))(notice) == "11 DRESS WAS INTERRUPTED - MEASURE THE STICK"
    )
    assert messages_in("en", load_control("hash-variables", (folder,)))(notice) == "11 INTERRUPTED - MEASURE STICK"
    assert messages_in("de", load_control("hash-variables", (folder,)))(notice) == "11 UNTERBROCHEN - STEIN MESSEN"


def test_one_that_is_too_long_is_an_error_of_the_language(tmp_path: Path, folder: Path) -> None:
    own = Path(shutil.copytree(data_folder("templates") / "languages" / "en", tmp_path / "own"))
    text = (own / "heading.j2").read_text("utf-8")
    (own / "heading.j2").write_text(
        text.replace("INTERRUPTED - MEASURE STICK", "THE DRESS BEFORE WAS INTERRUPTED"), "utf-8"
    )
    say = messages_in(str(own), load_control("hash-variables", (folder,)))
    with pytest.raises(DressblockError, match="35 characters, and this control shows 31") as caught:
        say(Notice("interrupted"))
    assert caught.value.file == str(own / "heading.j2")


@pytest.mark.parametrize("control", CONTROLS[:3])
def test_a_program_in_german_is_proven_and_its_sheet_says_the_same(control: str, folder: Path) -> None:
    machine: dict[str, Any] = {"codes": {"stick_low": "M78"}}
    program = bench.program(control, folder, machine=machine, recipe={"dress.warn_left": 2}, language="de")
    assert program.accepted, program.findings
    shown = re.findall(r'(?:MSG, |MSG\("|\()(\d\d [^)"]+)', program.text)
    assert len(shown) >= 8
    assert not any(word in " ".join(shown) for word in ("STICK", "WHEEL", "BELOW", "LANE"))
    said = " ".join(sheet(program, "de").text.split())
    for message in shown:
        assert message.split()[0] in said
