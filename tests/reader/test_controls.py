"""Control folders: found, read, refused with a sentence; a machine's own words."""

from __future__ import annotations

from pathlib import Path

import pytest

from gen.base.errors import DressblockError
from gen.base.places import data_folder
from gen.control.folders import control_folder, control_names, load_control
from gen.control.own_words import respelled


def test_the_controls_that_come_along() -> None:
    assert {"iso6983", "rs274ngc", "hash-variables"} <= set(control_names())
    for name in control_names():
        assert load_control(name).title


def test_data_folders_are_found() -> None:
    assert (data_folder("templates") / "controls" / "rs274ngc" / "control.toml").is_file()


def test_an_unknown_control_is_told_the_nearest() -> None:
    with pytest.raises(DressblockError, match='there is no control "rs274ncg"; the nearest one is "rs274ngc"'):
        load_control("rs274ncg")


@pytest.mark.parametrize("name", ["../controls/rs274ngc", "", ".", "rs274ngc/", "/etc"])
def test_a_name_is_no_path(name: str) -> None:
    with pytest.raises(DressblockError, match="there is no control"):
        load_control(name)


def test_a_shops_own_folder_comes_first(tmp_path: Path) -> None:
    folder = tmp_path / "iso6983"
    folder.mkdir()
    text = (control_folder("iso6983") / "control.toml").read_text()
    (folder / "control.toml").write_text(text.replace('title = "', 'title = "Our own ', 1))
    assert load_control("iso6983", [tmp_path]).title.startswith("Our own ")
    assert not load_control("iso6983").title.startswith("Our own ")


def test_a_wrong_control_file_says_file_and_key(tmp_path: Path) -> None:
    folder = tmp_path / "ours"
    folder.mkdir()
    (folder / "control.toml").write_text('titel = "x"\n')
    with pytest.raises(DressblockError) as caught:
        load_control("ours", [tmp_path])
    assert any("ours/control.toml" in line and "titel" in line and '"title"' in line for line in caught.value.sentences)


def test_own_codes_replace_add_and_take_away() -> None:
    control = load_control("hash-variables")
    own = respelled(
        control,
        {
            "coolant_on": "M88",
            "override_lock": "",
            "feeder_on": "M61",
            "home": "G27",
            "work_offset.G59": "G59.9",
            "dwell_word": "P",
            "dwell_unit": "ms",
        },
    )
    assert own.codes["coolant_on"] == "M88"
    assert "override_lock" not in own.codes
    assert own.codes["feeder_on"] == "M61"
    assert own.once["home"] == "G27"
    assert own.word("work_offset", "G59") == "G59.9"
    assert (own.dwell.word, own.dwell.unit) == ("P", "ms")
    assert own.dwell.units == {"P": "ms", "U": "s"}
    assert control == load_control("hash-variables")


@pytest.mark.parametrize(
    ("codes", "sentence"),
    [
        ({"coolent_on": "M8"}, 'codes.coolent_on: this control knows no such code; the nearest one is "coolant_on".'),
        ({"coolant_on": "8"}, 'codes.coolant_on: read "8"; a word such as "M8"'),
        ({"dwell_unit": "min"}, 'codes.dwell_unit: read "min"; "s" or "ms" is wanted.'),
        ({"dwell_word": "PP"}, 'codes.dwell_word: read "PP"; a single capital letter is wanted.'),
        ({"dwell": ""}, 'codes.dwell: read ""; a word'),
    ],
)
def test_wrong_codes_are_refused(codes: dict[str, str], sentence: str) -> None:
    with pytest.raises(DressblockError) as caught:
        respelled(load_control("iso6983"), codes)
    assert str(caught.value).startswith(sentence)
