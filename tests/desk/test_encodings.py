"""Text as other systems keep it: code pages, byte-order marks, UTF-16, line ends."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as Xml

import pytest

from gen.control.seal import blocks
from gen.jobs.reports.sarif import artifact
from runner import Command, Shop


def run(*words: object, folder: Path, **environment: str) -> subprocess.CompletedProcess[bytes]:
    """``python -m gen`` with a console of a Western code page, as Windows has it, unless ``environment`` differs."""
    surroundings = {**os.environ, "PYTHONIOENCODING": "cp1252", "PYTHONUTF8": "0", **environment}
    command = [sys.executable, "-m", "gen", *map(str, words)]
    surroundings["PYTHONPATH"] = str(Path(__file__).parents[2])
    return subprocess.run(command, cwd=folder, env=surroundings, capture_output=True, check=False)


@pytest.fixture
def titled(shop: Shop) -> Shop:
    """A shop whose machine has a folder that the code page of its console can only write otherwise, or not at all."""
    (shop.root / "machines/north-bench").rename(shop.root / "machines/größe λ")
    return shop


def documents(titled: Shop) -> dict[str, tuple[object, ...]]:
    recipe = "machines/größe λ/dress/flute-rough.toml"
    return {
        "json": ("generate", recipe, "--json"),
        "check": ("check", "programs/größe λ", "--json", "--machine", "machines/south-bench/machine.toml"),
        "sarif": ("check", "programs/größe λ", "--format", "sarif", "--machine", "machines/south-bench/machine.toml"),
        "junit": ("check", "programs/größe λ", "--format", "junit"),
        "svg": ("chart", recipe, "--language", "de"),
        "limits": ("limits", "machines/größe λ", "--json"),
    }


def test_documents_are_utf_8_on_a_console_of_another_code_page(titled: Shop) -> None:
    for kind, words in documents(titled).items():
        done = run(*words, folder=titled.root)
        assert done.returncode == (1 if kind in ("check", "sarif") else 0), (kind, done.stderr)
        text = done.stdout.decode("utf-8")
        assert b"\r" not in done.stdout
        if kind in ("junit", "svg"):
            Xml.fromstring(done.stdout)
        else:
            json.loads(text)
        assert "größe λ" in text or "gr%C3%B6%C3%9Fe%20%CE%BB" in text or kind == "svg", kind


def test_what_people_read_goes_to_any_console(titled: Shop) -> None:
    """What a code page cannot write becomes an escape; it is no reason to stop."""
    done = run("generate", "machines/größe λ/dress/flute-rough.toml", folder=titled.root)
    assert done.returncode == 0
    assert "größe \\u03bb" in done.stdout.decode("cp1252")


def program(command: Command, shop: Shop) -> Path:
    assert command("generate", shop.recipe, "--out", shop.out).code == 0
    return shop.out / "north-bench/flute-rough.ngc"


@pytest.mark.parametrize("encoding", ["utf-16", "utf-16-le", "utf-16-be"])
@pytest.mark.parametrize("named", ["file", "folder"])
def test_a_program_in_utf_16_is_no_program_without_a_dress(
    command: Command, shop: Shop, encoding: str, named: str
) -> None:
    path = program(command, shop)
    path.write_bytes(path.read_text().encode(encoding))
    outcome = command("check", path if named == "file" else shop.out, "--json")
    assert outcome.code == 2
    (error,) = outcome.document["errors"]
    assert error["file"] == str(path)
    assert "this is UTF-16" in error["message"]
    assert "save it as plain text" in error["message"]


def test_a_nul_is_told(command: Command, shop: Shop) -> None:
    path = program(command, shop)
    path.write_bytes(path.read_bytes().replace(b"G53 G0 U0", b"G53 G0 U0\0", 1))
    outcome = command("check", shop.out)
    assert outcome.code == 2
    assert "NUL byte" in outcome.err
    # nor is it what was generated, nor written over without a word
    assert command("generate", shop.recipe, "--out", shop.out, "--check").code == 1
    assert command("generate", shop.recipe, "--out", shop.out).code == 1


def test_a_byte_order_mark_is_told_and_read_over(command: Command, shop: Shop) -> None:
    path = program(command, shop)
    path.write_bytes(b"\xef\xbb\xbf" + path.read_bytes())
    outcome = command("check", path, "--json")
    assert outcome.code == 0
    (found,) = outcome.document["findings"]
    assert (found["line"], found["rule"], found["severity"]) == (1, "unread", "warning")
    assert "byte-order mark" in found["message"]


def test_a_host_keeps_its_byte_order_mark(command: Command, shop: Shop) -> None:
    host = shop.root / "machines/north-bench/hosts/drill-flutes.ngc"
    plain = shop.root / "plain.ngc"
    assert command("splice", host, shop.recipe, "--out", plain).code == 0
    marked = b"\xef\xbb\xbf"
    host.write_bytes(marked + host.read_bytes())
    assert command("splice", host, shop.recipe).code == 0
    assert host.read_bytes() == marked + plain.read_bytes()


@pytest.mark.parametrize("end", ["\r\n", "\r"])
def test_line_ends_are_named_where_only_they_differ(command: Command, shop: Shop, end: str) -> None:
    """As git leaves them with core.autocrlf."""
    path = program(command, shop)
    path.write_bytes(path.read_bytes().replace(b"\n", end.encode()))
    assert not any(block.altered for block in blocks(path.read_text().splitlines()))
    outcome = command("generate", shop.recipe, "--out", shop.out, "--check")
    assert outcome.code == 1
    assert "only its line ends differ" in outcome.err
    assert ".gitattributes" in outcome.err


def uri(path: Any, folder: Any) -> str:
    return str(artifact(path, folder)["uri"])


def test_paths_of_other_systems_are_file_uris() -> None:
    """RFC 8089, appendix E.2 for drive letters and E.3 for shares."""
    from pathlib import PurePosixPath, PureWindowsPath

    shop, here = PureWindowsPath("D:/shop"), PurePosixPath("/shop")
    assert uri(PureWindowsPath("C:/a b/x.nc"), shop) == "file:///C:/a%20b/x.nc"
    assert uri(PureWindowsPath("//server/share/x.nc"), shop) == "file://server/share/x.nc"
    assert uri(PureWindowsPath("D:/shop/programs/ä.nc"), shop) == "programs/%C3%A4.nc"
    assert uri(PurePosixPath("/other/a#b.nc"), here) == "file:///other/a%23b.nc"
