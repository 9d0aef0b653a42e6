"""Whatever stops a run: each file is what it was or what it was to be, and no other recipe suffers."""

from __future__ import annotations

import os
import resource
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest

import gen.base.files
from gen.base.errors import DressblockError
from gen.base.files import write_whole
from gen.base.places import data_folder
from gen.control.seal import blocks
from gen.jobs.generate import make_folder
from hostile.bounded import in_child
from runner import invoke


def dies(moment: int, words: list[str]) -> int:
    """The exit of a run in a child that ends at the write, sync or rename of this number, at once, as by a kill."""
    if child := os.fork():
        return os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    left = moment

    def dying(real: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **kwargs: Any) -> Any:
            nonlocal left
            left -= 1
            if left < 0:
                os._exit(77)
            return real(*args, **kwargs)

        return call

    def half(path: Path, content: bytes) -> None:
        nonlocal left
        left -= 1
        if left < 0:
            path.write_bytes(content[: len(content) // 2])
            os._exit(77)
        durably(path, content)

    durably = gen.base.files._write_durably
    gen.base.files._write_durably = half
    for name in ("replace", "fsync"):
        setattr(os, name, dying(getattr(os, name)))
    code = 99
    try:
        code = invoke(*words).exit_code
    finally:
        os._exit(code)


@pytest.fixture
def shop(tmp_path: Path) -> Path:
    shutil.copytree(data_folder("machines") / "north-bench", tmp_path / "north-bench")
    return tmp_path


def recipe(shop: Path, name: str = "flute-rough") -> Path:
    return shop / f"north-bench/dress/{name}.toml"


def run(*words: object) -> tuple[int, str]:
    result = invoke(*words)
    assert result.exception is None or isinstance(result.exception, SystemExit), (words, result.exception)
    return result.exit_code, result.output


def run_apart(*words: object, cwd: Path, more: Mapping[str, str], umask: int) -> tuple[int, str]:
    """In a process of its own, with its own surroundings."""
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2]), **more}
    command = [sys.executable, "-m", "gen.cli", *map(str, words)]
    done = subprocess.run(command, capture_output=True, env=environment, cwd=cwd, umask=umask, check=False)
    said = (done.stdout + done.stderr).decode()
    assert "Traceback" not in said
    return done.returncode, said


def contents(folder: Path) -> dict[str, bytes]:
    return {
        str(path.relative_to(folder)): path.read_bytes()
        for path in sorted(folder.rglob("*"))
        if path.is_file() and path.suffix != ".tmp"
    }


def test_a_run_that_is_killed_anywhere_leaves_whole_files_and_the_next_run_finishes(shop: Path) -> None:
    out = shop / "out"
    assert run("generate", recipe(shop), "--out", out)[0] == 0
    old = contents(out)
    source = recipe(shop).read_text().replace('plunge = "8 mm"', 'plunge = "7 mm"')
    recipe(shop).write_text(source)
    assert run("generate", recipe(shop), "--out", shop / "wanted")[0] == 0
    new = contents(shop / "wanted")
    assert old.keys() == new.keys()
    assert [name for name in old if old[name] == new[name]] == []
    deaths, programs_last = 0, True
    for moment in range(100):
        shutil.rmtree(out)
        for name, data in old.items():
            (out / name).parent.mkdir(parents=True, exist_ok=True)
            (out / name).write_bytes(data)
        code = dies(moment, ["generate", str(recipe(shop)), "--out", str(out)])
        now = contents(out)
        assert now.keys() == old.keys()
        assert [name for name in now if now[name] not in (old[name], new[name])] == []
        program = next(name for name in now if not name.endswith((".html", ".txt")))
        programs_last &= now[program] == old[program] or now == new
        assert not any(one.altered for one in blocks(now[program].decode().splitlines()))
        if code != 77:
            assert code == 0
            assert now == new
            break
        deaths += 1
    # a write, a sync, a rename and the folder's sync for each of three files
    assert deaths == 12
    assert programs_last


@pytest.mark.parametrize("call", ["os.fsync", "os.replace", "gen.base.files._write_durably"])
def test_a_full_disk_is_told_and_nothing_is_left_behind(
    call: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    path = tmp_path / "program.ngc"
    path.write_text("old")
    monkeypatch.setattr(call, full)
    with pytest.raises(DressblockError, match=r"program\.ngc: this file cannot be written: no space left on device\."):
        write_whole(path, "new")
    assert contents(tmp_path) == {"program.ngc": b"old"}
    assert [entry.name for entry in tmp_path.iterdir()] == ["program.ngc"]


@pytest.mark.parametrize("room", [0, 1, 500, 3000])
def test_no_room_for_a_file_of_more_than_so_many_bytes(room: int, shop: Path) -> None:
    """The system's own limit, which stops a write midway as a full disk does."""
    out = shop / "out"
    assert run("generate", recipe(shop), "--out", out)[0] == 0
    before = contents(out)
    text = recipe(shop).read_text()
    recipe(shop).write_text(text.replace('plunge = "8 mm"', 'plunge = "7 mm"'))

    def work() -> tuple[int, str]:
        resource.setrlimit(resource.RLIMIT_FSIZE, (room, room))
        return run("generate", recipe(shop), "--out", out)

    code, said = in_child(work)
    assert (code, "this file cannot be written: file too large." in said) == (2, True)
    assert contents(out) == before
    assert not list(out.rglob("*.tmp"))


def test_a_folder_that_only_others_may_write_to() -> None:
    """As the user "nobody" where the tests run as root, whom no permission stops."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        (folder / "old.ngc").write_text("old")
        folder.chmod(0o555)

        def as_nobody(work: Callable[[], object]) -> str:
            def child() -> tuple[int, str]:
                if os.geteuid() == 0:
                    os.setgroups([])
                    os.setgid(65534)
                    os.setuid(65534)
                work()
                return 0, ""

            return in_child(child)[1]

        said = f"DressblockError: {folder / 'old.ngc'}: this file cannot be written: permission denied."
        assert as_nobody(lambda: write_whole(folder / "old.ngc", "new")) == said
        said = f"DressblockError: {folder / 'new'}: this folder cannot be made: permission denied."
        assert as_nobody(lambda: make_folder(folder / "new")) == said
        assert contents(folder) == {"old.ngc": b"old"}
        folder.chmod(0o755)


def test_what_a_killed_run_left_behind_is_taken_away_by_a_later_one(shop: Path) -> None:
    words = ["generate", str(recipe(shop)), "--out", str(shop / "out")]
    for moment in range(3):
        assert dies(moment, words) == 77
    folder = shop / "out/north-bench"
    left = list(folder.glob(".*.tmp"))
    assert len(left) == 3
    mine = [folder / ".mine.tmp", folder / "flute-rough.0123456789ab.tmp", folder / ".x.0123456789AB.tmp"]
    for path in mine:
        path.write_text("kept")
    for path in [*left[1:], *mine]:
        os.utime(path, (0, 0))
    assert run(*words)[0] == 0
    # what is young may be another run's; what is called otherwise is somebody's
    assert sorted(folder.glob("*.tmp")) == sorted([left[0], *mine])
    assert len(contents(folder)) == 3


def test_a_splice_that_is_killed_anywhere_leaves_the_host_as_it_was_or_as_it_was_to_be(shop: Path) -> None:
    host = shop / "north-bench/hosts/drill-flutes.ngc"
    old = host.read_bytes()
    words = ["splice", str(host), str(recipe(shop))]
    assert run(*words, "--out", shop / "wanted.ngc")[0] == 0
    new = (shop / "wanted.ngc").read_bytes()
    assert old != new
    seen = []
    for moment in range(10):
        host.write_bytes(old)
        code = dies(moment, words)
        seen.append((code, host.read_bytes()))
        if code == 0:
            break
    assert {content for _, content in seen} == {old, new}
    assert [code for code, _ in seen] == [77] * 4 + [0]


def test_a_full_disk_behind_standard_output(shop: Path) -> None:
    with open("/dev/full", "wb") as full:
        done = subprocess.run(
            [sys.executable, "-m", "gen.cli", "schema", "recipe"],
            stdout=full,
            stderr=subprocess.PIPE,
            env={**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])},
            check=False,
        )
    assert done.returncode == 2
    assert done.stderr.decode() == "this cannot be used: no space left on device.\n"


def test_a_text_that_is_no_unicode_is_refused_not_half_written(tmp_path: Path) -> None:
    with pytest.raises(DressblockError, match="this file cannot be written"):
        write_whole(tmp_path / "a", "\udcff")
    assert not list(tmp_path.iterdir())


def test_a_place_that_cannot_be_written(shop: Path) -> None:
    (shop / "file").write_text("x")
    code, said = run("generate", recipe(shop), "--out", shop / "file")
    assert code == 2
    assert f"{shop / 'file' / 'north-bench'}" in said
    assert (shop / "file").read_text() == "x"


def test_two_runs_at_once_write_one_whole_program(shop: Path) -> None:
    words = [sys.executable, "-m", "gen.cli", "generate", str(recipe(shop)), "--out", str(shop / "out")]
    environment = {**os.environ, "PYTHONPATH": str(Path(__file__).parents[2])}
    runs = [subprocess.Popen(words, env=environment, stdout=subprocess.DEVNULL) for _ in range(4)]
    assert [one.wait() for one in runs] == [0] * 4
    assert run("generate", recipe(shop), "--out", shop / "alone")[0] == 0
    assert contents(shop / "out") == contents(shop / "alone")
    assert not list((shop / "out").rglob("*.tmp"))


def test_one_bad_recipe_does_not_stop_the_others(shop: Path) -> None:
    bad = recipe(shop, "bad")
    bad.write_text("title = ")
    code, said = run("generate", bad, recipe(shop), recipe(shop, "missing"), "--out", shop / "out")
    assert code == 2
    assert f"{bad}: this is not valid TOML" in said
    assert "there is no such file" in said
    assert (shop / "out/north-bench/flute-rough.ngc").is_file()


def test_a_name_that_is_too_long_once_it_says_more(shop: Path) -> None:
    long = recipe(shop, "x" * 250)
    shutil.copy(recipe(shop), long)
    code, said = run("generate", long, recipe(shop), "--prove-out", "--out", shop / "out")
    assert code == 2
    assert "file name too long." in said
    assert len(list((shop / "out/north-bench").iterdir())) == 1


def test_a_program_changed_by_hand_is_kept_with_its_sheets(shop: Path) -> None:
    assert run("generate", recipe(shop), "--out", shop / "out")[0] == 0
    program = shop / "out/north-bench/flute-rough.ngc"
    program.write_text(program.read_text().replace("G53", "G53 ", 1).replace("M9", "M9 M0", 1))
    recipe(shop).write_text(recipe(shop).read_text().replace('plunge = "8 mm"', 'plunge = "7 mm"'))
    before = contents(shop / "out")
    code, said = run("generate", recipe(shop), "--out", shop / "out")
    assert code == 1
    assert "was changed by hand and is kept" in said
    assert contents(shop / "out") == before


@pytest.mark.parametrize("suffix", [".ngc", ".html", ".txt"])
@pytest.mark.parametrize("force", [(), ("--force",)])
def test_a_link_in_place_of_a_file_is_not_written_through(suffix: str, force: tuple[str, ...], shop: Path) -> None:
    precious = shop / "precious"
    precious.write_text("kept")
    folder = shop / "out/north-bench"
    folder.mkdir(parents=True)
    (folder / f"flute-rough{suffix}").symlink_to(precious)
    code, said = run("generate", recipe(shop), "--out", shop / "out", *force)
    assert code == 2
    assert f"{folder / 'flute-rough'}{suffix}: this is a link" in said
    assert precious.read_text() == "kept"
    assert len(list(folder.iterdir())) == 1


def test_a_link_to_nothing_makes_nothing(shop: Path) -> None:
    folder = shop / "out/north-bench"
    folder.mkdir(parents=True)
    (folder / "flute-rough.ngc").symlink_to(shop / "new")
    assert run("generate", recipe(shop), "--out", shop / "out")[0] == 2
    assert not (shop / "new").exists()


def test_a_linked_folder_below_out_leads_nowhere_but_out_itself_may_be_a_link(shop: Path) -> None:
    (shop / "elsewhere").mkdir()
    (shop / "out").mkdir()
    (shop / "out/north-bench").symlink_to(shop / "elsewhere")
    code, said = run("generate", recipe(shop), "--out", shop / "out")
    assert code == 2
    assert f"{shop / 'out/north-bench'}: this folder is a link" in said
    assert not list((shop / "elsewhere").iterdir())
    (shop / "share").symlink_to(shop / "elsewhere")
    assert run("generate", recipe(shop), "--out", shop / "share")[0] == 0
    assert (shop / "elsewhere/north-bench/flute-rough.ngc").is_file()


def test_the_same_bytes_whatever_surrounds_the_run(shop: Path, tmp_path: Path) -> None:
    """Locale, time zone, hash seed, working folder, umask: none of them is in a file."""
    surroundings: list[dict[str, str]] = [
        {"PYTHONHASHSEED": "0", "TZ": "UTC", "LC_ALL": "C.UTF-8"},
        {"PYTHONHASHSEED": "1", "TZ": "Asia/Kathmandu", "LC_ALL": "C", "PYTHONIOENCODING": "ascii"},
        {"PYTHONHASHSEED": "4242", "TZ": "America/St_Johns", "LANG": "tr_TR.UTF-8", "LANGUAGE": "tr"},
        {"PYTHONHASHSEED": "7", "LC_ALL": "POSIX", "PYTHONUTF8": "0", "HOME": "/nonexistent", "COLUMNS": "20"},
    ]
    machines = data_folder("machines").resolve()
    recipes = [machines / f"{name}.toml" for name in ("north-bench/dress/flute-rough", "south-bench/dress/gash-cup")]
    recipes += [machines / "air-feeder/dress/relief-wheel.toml", machines / "pack-grinder/dress/drill-pack.toml"]
    made = []
    for number, surrounding in enumerate(surroundings):
        umask = (0o022, 0o077)[number % 2]
        cwd = tmp_path / f"cwd{number}"
        cwd.mkdir()
        # a folder of its own, the same name seen from it, and an absolute path to the recipes
        assert run_apart("generate", *recipes, "--out", "out", cwd=cwd, more=surrounding, umask=umask)[0] == 0
        made.append(contents(cwd / "out"))
    assert len(made[0]) >= 12
    assert all(one == made[0] for one in made)
