"""A machine's own words: refused where the control has them with another meaning."""

from __future__ import annotations

from pathlib import Path

import pytest

from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.control.dialect import Dialect, dialect_for
from gen.shop.load import load_machine

SWAPPED = 'override_lock = "M48"\noverride_free = "M49"'


def dialect(tmp_path: Path, codes: str, control: str = "hash-variables") -> Dialect:
    text = (data_folder("machines") / "north-bench" / "machine.toml").read_text()
    text = text.replace('control = "rs274ngc"', f'control = "{control}"')
    text = text.replace("[codes]\n", "")
    path = tmp_path / "machine.toml"
    path.write_text(f"{text}\n[codes]\n{codes}\n")
    return dialect_for(load_machine(path))


@pytest.mark.parametrize(
    ("codes", "key", "other"),
    [
        ('"distance.absolute" = "G91"', "distance.absolute", "groups.distance.incremental"),
        (SWAPPED, "override_lock", "codes.override_free"),
        ('spindle_cw = "M4"', "spindle_cw", "codes.spindle_ccw"),
        ('spindle_cw = "M04"', "spindle_cw", "codes.spindle_ccw"),
        ('coolant_on = "M0"', "coolant_on", "codes.stop"),
        ('coolant_on = "M8 M0"', "coolant_on", "codes.stop"),
        ('coolant_on = "M30"', "coolant_on", "codes.end_rewind"),
        ('coolant_on = "M6"', "coolant_on", "does more than the program shows"),
        ('coolant_on = "M99"', "coolant_on", "directs the flow"),
        ('coolant_on = "G4 P1"', "coolant_on", "once.dwell"),
        ('synchronise = "G4 P1"', "synchronise", "once.dwell"),
        ('"units.mm" = "G20"', "units.mm", "groups.units.inch"),
        ('machine_frame = "G54"', "machine_frame", "groups.work_offset.G54"),
        ('feeder_on = "M61"\nfeeder_off = "M61"', "feeder_off", "codes.feeder_on"),
        ('stop = "M1"', "stop", "codes.optional_stop"),
    ],
)
def test_a_word_of_another_meaning_is_refused(tmp_path: Path, codes: str, key: str, other: str) -> None:
    with pytest.raises(DressblockError) as caught:
        dialect(tmp_path, codes)
    assert caught.value.key == f"codes.{key}"
    assert other in str(caught.value)


@pytest.mark.parametrize(
    "codes",
    [
        'coolant_on = "M7"', 'end = "M30"', 'coolant_on = "M08"', 'coolant_on = "M51"', 'synchronise = "G4 P0"',
        'synchronise = "M97"', 'feeder_on = "M61"\nfeeder_off = "M62"', 'override_lock = ""',
        '"path.exact-stop" = "G9"',
    ],
)  # fmt: skip
def test_a_word_of_the_machines_own_is_taken(tmp_path: Path, codes: str) -> None:
    assert dialect(tmp_path, codes).control
