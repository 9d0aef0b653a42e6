"""Files: what cannot be read says why, and what is written is whole."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from example_files import MACHINE, RECIPE, recipe
from gen.base.errors import DressblockError
from gen.base.files import read_toml, write_whole
from gen.shop.load import load_machine, load_recipe, machine_path_for


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    folder = tmp_path / "bench"
    (folder / "dress").mkdir(parents=True)
    (folder / "machine.toml").write_text(MACHINE, encoding="utf-8")
    (folder / "dress" / "rough.toml").write_text(RECIPE, encoding="utf-8")
    return folder


def refusal(path: Path) -> str:
    with pytest.raises(DressblockError) as caught:
        load_machine(path)
    text = str(caught.value)
    assert text.startswith(f"{path}: ")
    return text.removeprefix(f"{path}: ")


def test_the_designs_files_load_and_find_each_other(shop: Path) -> None:
    path = shop / "dress" / "rough.toml"
    read = load_recipe(path)
    assert read.program == 7101
    assert machine_path_for(path, read) == shop / "machine.toml"
    assert load_machine(machine_path_for(path, read)).control == "rs274ngc"


def test_a_recipe_may_name_its_machine(shop: Path) -> None:
    path = shop / "dress" / "rough.toml"
    assert machine_path_for(path, recipe(machine="../../other/m.toml")) == shop.parent / "other" / "m.toml"
    assert machine_path_for(Path("r.toml"), recipe()) == Path("../machine.toml")


def test_a_linked_recipe_folder_keeps_its_own_parent(shop: Path, tmp_path: Path) -> None:
    (tmp_path / "elsewhere").symlink_to(shop / "dress")
    found = machine_path_for(tmp_path / "elsewhere" / "rough.toml", recipe())
    assert found.read_text(encoding="utf-8") == MACHINE


def test_mistakes_carry_the_file_and_the_key(shop: Path) -> None:
    path = shop / "machine.toml"
    path.write_text(MACHINE.replace('"400 mm/min"', "400").replace("clearance", "clearence"), encoding="utf-8")
    with pytest.raises(DressblockError) as caught:
        load_machine(path)
    assert str(caught.value).splitlines() == [
        f"{path}: dresser.clearance: this key is missing; it gives distance from the earliest contact, mm, "
        'where rapid moves end, such as clearance = "4 mm".',
        f'{path}: dresser.feed[1]: read 400, a bare number; a feed needs its unit: "400 mm/min" or "400 in/min".',
        f'{path}: dresser.clearence: this key is not known; the nearest known one is "clearance".',
    ]
    assert (caught.value.file, caught.value.key) == (str(path), "dresser.clearance")


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"a = 1\nb 2", 'this is not valid TOML: expected "=" after a key in a key/value pair (at line 2, column 3).'),
        (b"a = 1\na = 2\n", "this is not valid TOML: cannot overwrite a value (at line 2, column 6)."),
        (b'a = "x"\nb = "\xff"', "this file is not UTF-8 (line 2); save it as UTF-8."),
        (b"#" * ((1 << 20) + 1), "this file is larger than 1 MiB; a machine or recipe file is a few kB."),
        (b"a = " + b"1" * 5000, "a number in this file is too large, or is no number."),
        (b"a = 1e" + b"9" * 30, "a number in this file is too large, or is no number."),
        (b"a = " + b"[" * 5000, "lists or tables in this file are nested too deeply."),
    ],
)
def test_a_file_that_is_no_toml_says_why(tmp_path: Path, content: bytes, sentence: str) -> None:
    path = tmp_path / "m.toml"
    path.write_bytes(content)
    assert refusal(path) == sentence


def test_what_is_no_file_says_so(tmp_path: Path) -> None:
    assert refusal(tmp_path / "none.toml") == "there is no such file."
    assert refusal(tmp_path) == "this is a folder; name the file in it."
    os.mkfifo(tmp_path / "pipe")
    assert refusal(tmp_path / "pipe") == "this is not an ordinary file."
    assert "cannot be read" in refusal(tmp_path / ("n" * 300))


def test_a_file_name_cannot_command_the_terminal(tmp_path: Path) -> None:
    with pytest.raises(DressblockError) as caught:
        load_machine(tmp_path / "a\x1b[2Jb\nc.toml")
    assert str(caught.value).endswith("a?[2Jb?c.toml: there is no such file.")


def test_byte_order_mark_and_windows_line_ends_are_read(tmp_path: Path) -> None:
    path = tmp_path / "m.toml"
    path.write_bytes(b"\xef\xbb\xbf" + MACHINE.replace("\n", "\r\n").encode())
    assert load_machine(path).control == "rs274ngc"


def test_a_file_of_just_one_mebibyte_is_read(tmp_path: Path) -> None:
    path = tmp_path / "m.toml"
    path.write_bytes(b"#" * (1 << 20))
    assert read_toml(path) == {}


def test_fractions_stay_exact(tmp_path: Path) -> None:
    path = tmp_path / "m.toml"
    path.write_text("a = 0.1")
    assert str(read_toml(path)["a"]) == "0.1"


def test_writes_text_and_bytes_as_they_are(tmp_path: Path) -> None:
    path = tmp_path / "p.ngc"
    write_whole(path, "Ø\r\n")
    assert path.read_bytes() == "Ø\r\n".encode()
    write_whole(path, b"\x00\xff")
    assert path.read_bytes() == b"\x00\xff"
    assert os.listdir(tmp_path) == ["p.ngc"]


def test_a_failed_write_leaves_the_old_file_and_nothing_else(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "p.ngc"
    path.write_text("old")

    def full(descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(DressblockError, match="this file cannot be written: no space left on device"):
        write_whole(path, "new")
    assert path.read_text() == "old"
    assert os.listdir(tmp_path) == ["p.ngc"]


def test_the_old_file_is_replaced_only_after_the_new_one_is_on_disk(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "p.ngc"
    path.write_text("old")
    seen: list[str] = []
    fsync = os.fsync

    def watched(descriptor: int) -> None:
        seen.append(path.read_text())
        fsync(descriptor)

    monkeypatch.setattr(os, "fsync", watched)
    write_whole(path, "new")
    assert seen == ["old", "new"]  # the file before it gets its name, then the folder that holds the name
    assert path.read_text() == "new"


def test_permissions_follow_the_old_file_or_the_umask(tmp_path: Path) -> None:
    path = tmp_path / "p.ngc"
    before = os.umask(0o027)
    try:
        write_whole(path, "a")
        assert path.stat().st_mode & 0o777 == 0o640
        path.chmod(0o664)
        write_whole(path, "b")
        assert path.stat().st_mode & 0o777 == 0o664
    finally:
        os.umask(before)


def test_a_link_stays_a_link(tmp_path: Path) -> None:
    (tmp_path / "real").write_text("old")
    (tmp_path / "link").symlink_to(tmp_path / "real")
    write_whole(tmp_path / "link", "new")
    assert (tmp_path / "link").is_symlink()
    assert (tmp_path / "real").read_text() == "new"


def test_what_cannot_be_written_says_why(tmp_path: Path) -> None:
    with pytest.raises(DressblockError, match=r"p\.ngc: this file cannot be written: its folder does not exist\.$"):
        write_whole(tmp_path / "none" / "p.ngc", "a")
    with pytest.raises(DressblockError, match=r"this file cannot be written: is a directory\.$"):
        write_whole(tmp_path, "a")
    assert not [name for name in os.listdir(tmp_path.parent) if name.endswith(".tmp")]
