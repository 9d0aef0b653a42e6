"""A shop's repository under git: every way in which it can go stale turns a gate red, and the gate names the remedy."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

import pytest
import yaml
from junitparser import JUnitXml

from gen.base.places import data_folder
from runner import Command, Outcome

ROOT = Path(__file__).parents[2]
RECIPE = "machines/inch-table/dress/slot-wheel.toml"
MACHINE = "machines/inch-table/machine.toml"
HOST = "machines/inch-table/hosts/slot-form.nc"
PROGRAM = "programs/inch-table/slot-wheel.nc"

HOOKS = {hook["id"]: hook for hook in yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text())}


@dataclass(frozen=True)
class Repository:
    """A shop's clone, which is the working folder, with programs, prove-outs and a spliced host committed."""

    root: Path
    command: Command

    def git(self, *words: str) -> str:
        identity = ("-c", "user.name=A", "-c", "user.email=a@b.invalid", "-c", "core.autocrlf=false")
        done = subprocess.run(["git", *identity, *words], cwd=self.root, check=True, capture_output=True, text=True)
        return done.stdout

    def commit(self) -> None:
        self.git("add", "--all")
        self.git("commit", "-qm", "work")

    def change(self, path: str, old: str, new: str) -> None:
        text = (self.root / path).read_text()
        assert old in text
        (self.root / path).write_text(text.replace(old, new, 1))

    def gates(self) -> dict[str, Outcome]:
        """What the hooks whose files a commit of all changes would touch say.

        This imitates ``pre-commit``, which would install the package from an index into an environment of its own;
        ``tests/cli/test_ci_snippets.py`` runs it for real where there is a network.
        """
        self.git("add", "--all")
        touched = self.git("diff", "--cached", "--name-only", "-z", "--no-renames").split("\0")[:-1]
        said = {}
        for id, hook in HOOKS.items():
            files = [name for name in touched if re.search(hook["files"], name)]
            there = [name for name in files if (self.root / name).exists()]
            # pre-commit runs a hook for deleted files only where it is not given their names
            if there if hook.get("pass_filenames", True) else files:
                words = hook["entry"].split()[1:]
                said[id] = self.command(*words, *(there if hook.get("pass_filenames", True) else ()))
        return said


@pytest.fixture
def repository(command: Command, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Repository:
    monkeypatch.chdir(tmp_path)
    shutil.copytree(data_folder("machines") / "inch-table", tmp_path / "machines/inch-table")
    (tmp_path / "machines/inch-table/hosts/surface-steps.nc").unlink()
    (tmp_path / "machines/inch-table/dress/face-mill-wheel.toml").unlink()
    made = Repository(tmp_path, command)
    made.git("init", "-q")
    assert command("generate", "machines").code == 0
    assert command("generate", "machines", "--prove-out").code == 0
    assert command("splice", HOST, RECIPE).code == 0
    made.commit()
    return made


def test_nothing_is_red_where_nothing_is_stale(repository: Repository) -> None:
    repository.change(RECIPE, "title", "# a remark\ntitle")
    repository.change(HOST, "BEGIN", "BEGIN")
    (repository.root / PROGRAM).touch()
    for outcome in repository.gates().values():
        assert outcome.code == 0, outcome.err
    for words in (("check", "programs"), ("generate", "--check", "machines"), ("splice", "--check", "machines")):
        assert repository.command(*words).code == 0


def within_bounds(repository: Repository) -> None:
    """A little slower, which every bound allows."""
    repository.change(RECIPE, "aggressiveness = ", "aggressiveness = 2 # ")
    text = (repository.root / RECIPE).read_text()
    (repository.root / RECIPE).write_text(re.sub(r"aggressiveness = 2 # (\d+)", _less, text))


def slower_than_band(repository: Repository) -> None:
    """A band that the old program does not keep."""
    text = (repository.root / RECIPE).read_text()
    text = re.sub(r"aggressiveness = \d+", "aggressiveness = 220", text)
    (repository.root / RECIPE).write_text(re.sub(r"band = .*", "band = [200, 240]", text))


def _less(found: re.Match[str]) -> str:
    return f"aggressiveness = {int(found[1]) - 4}"


def machine_changed(repository: Repository) -> None:
    repository.change(MACHINE, 'spin_up = "5 s"', 'spin_up = "6 s"')


def recipe_deleted(repository: Repository) -> None:
    (repository.root / RECIPE).unlink()
    text = (data_folder("machines") / "inch-table/dress/face-mill-wheel.toml").read_text()
    (repository.root / "machines/inch-table/dress/face-mill-wheel.toml").write_text(text)


def recipe_renamed(repository: Repository) -> None:
    (repository.root / RECIPE).rename(repository.root / "machines/inch-table/dress/slot.toml")


def refused(repository: Repository) -> None:
    repository.change(MACHINE, '"15 in/min"', '"4 in/min"')


def copied(repository: Repository) -> None:
    shutil.copytree(repository.root / "machines/inch-table", repository.root / "machines/other-table")
    assert repository.command("generate", "machines/other-table").code == 0
    shutil.copy(repository.root / PROGRAM, repository.root / "programs/other-table/COPY.NC")


def prove_out_edited(repository: Repository) -> None:
    repository.change("programs/inch-table/slot-wheel-prove-out.nc", "M9", "M09")


def in_utf_16(repository: Repository) -> None:
    path = repository.root / PROGRAM
    path.write_bytes(path.read_text().encode("utf-16"))


def upper_case(repository: Repository) -> None:
    path = repository.root / PROGRAM
    (path.parent / "COPY.NC").write_text(path.read_text().replace("M5", "M05", 1))


def host_edited(repository: Repository) -> None:
    text = (repository.root / HOST).read_text()
    place = text.index("BEGIN DRESS")
    (repository.root / HOST).write_text(text[:place] + text[place:].replace("M49", "M049", 1))


def line_ends(repository: Repository) -> None:
    path = repository.root / PROGRAM
    path.write_bytes(path.read_bytes().replace(b"\r\n", b"\n").replace(b"\n", b"\r\n"))


STALE: list[tuple[Callable[[Repository], None], str, str]] = [
    (within_bounds, "dressblock-drift", "aggressiveness 25. → 24.*generate it again"),
    (within_bounds, "dressblock-spliced", "no longer follows from its recipe; splice it again"),
    (within_bounds, "dressblock-drift", "no longer follows from its recipe: .*aggressiveness"),
    (machine_changed, "dressblock-drift", "no longer follows from its machine: waits.*generate it again"),
    (machine_changed, "dressblock-spliced", "splice it again"),
    (recipe_deleted, "dressblock-drift", "slot-wheel.nc.*no such recipe is there; delete the program"),
    (recipe_deleted, "dressblock-spliced", "no such recipe is there; bring it back"),
    (recipe_renamed, "dressblock-drift", r"no such recipe is there \(slot.toml there has its program number 7121; if"),
    (recipe_renamed, "dressblock-spliced", r"such recipe is there \(slot.toml there has its program number 7121"),
    (refused, "dressblock-drift", "slot-wheel.nc still lies there.*take it off the machine"),
    (refused, "dressblock-limits", "plunge feed|plunge-feed|allows"),
    (copied, "dressblock-drift", "other-table/COPY.NC is a program for machine .*delete this copy"),
    (prove_out_edited, "dressblock-drift", "prove-out.nc was changed by hand.*generate it again"),
    (prove_out_edited, "dressblock-check", "altered.*generate it again"),
    (in_utf_16, "dressblock-check", "UTF-16.*save it as plain text"),
    (in_utf_16, "dressblock-drift", "UTF-16.*save it as plain text"),
    (upper_case, "dressblock-check", "COPY.NC.*altered"),
    (host_edited, "dressblock-spliced", "changed by hand; splice it again"),
    (host_edited, "dressblock-check", "altered"),
    (line_ends, "dressblock-drift", r"only its line ends differ.*\.gitattributes"),
]


@pytest.mark.parametrize(("plant", "gate", "remedy"), STALE, ids=[f"{one[0].__name__}-{one[1]}" for one in STALE])
def test_what_is_stale_turns_its_gate_red(
    repository: Repository, plant: Callable[[Repository], None], gate: str, remedy: str
) -> None:
    plant(repository)
    outcome = repository.gates()[gate]
    assert outcome.code in (1, 2)
    said = outcome.out + outcome.err
    assert re.search(remedy, said), said


@pytest.mark.parametrize(
    ("plant", "path", "told"),
    [
        (within_bounds, HOST, "error drift.*its recipe was changed since: splice it again, and prove it out"),
        (within_bounds, PROGRAM, "error drift.*its recipe was changed since: generate it again"),
        (machine_changed, HOST, "error drift.*its machine was changed since: splice it again, and prove it out"),
        (slower_than_band, HOST, "error drift.*its recipe was changed since"),
        (slower_than_band, HOST, "error aggressiveness"),
        (recipe_renamed, PROGRAM, r"slot.toml there has its program number 7121; if it was renamed, generate it again"),
    ],
)
def test_check_sees_by_itself_what_is_stale(
    repository: Repository, plant: Callable[[Repository], None], path: str, told: str
) -> None:
    assert repository.command("check", path).code == 0
    plant(repository)
    outcome = repository.command("check", path)
    assert outcome.code == 1
    assert re.search(told, outcome.out + outcome.err), outcome.out + outcome.err


def test_what_a_program_does_not_depend_on_turns_no_gate_red(repository: Repository) -> None:
    """A price, and a key whose value holds without it too: other digits, and the same program."""
    repository.change(MACHINE, "[spindle]", '[costs]\ncurrency = "EUR"\n\n[spindle]')
    repository.change(MACHINE, "[dresser]", '[dresser]\nlateral_sign = "+"')
    for id, outcome in repository.gates().items():
        assert outcome.code == 0, (id, outcome.err)
    for words in (("check", "programs", "machines"), ("generate", "--check", "machines")):
        outcome = repository.command(*words)
        assert outcome.code == 0, outcome.err
    assert repository.command("splice", "--check", "machines").code == 0


def test_a_hand_s_change_of_a_spliced_dress_is_no_drift(repository: Repository) -> None:
    """One cause is told: whoever changed the block by hand is told that, and not that the recipe did it."""
    within_bounds(repository)
    host_edited(repository)
    outcome = repository.command("check", HOST)
    assert "altered" in outcome.out + outcome.err
    assert "error drift" not in outcome.out + outcome.err


def test_options_that_a_program_was_made_with_need_not_be_repeated(repository: Repository) -> None:
    for words in (("--language", "de"), ("--form", "block")):
        assert repository.command("generate", RECIPE, *words).code == 0
        outcome = repository.command("generate", "machines", "--check")
        assert outcome.code == 0, outcome.err
    repository.change(RECIPE, 'title = "', 'title = "X')
    assert repository.command("generate", "machines", "--check").code == 1


def test_what_was_left_alone_is_listed_in_every_form(repository: Repository) -> None:
    plain = repository.root / "programs/inch-table/plain.nc"
    plain.write_text("G21 G90\nG0 X1.\nM30\n")
    name = "programs/inch-table/plain.nc"
    assert f"{name}: left alone: there is no dress block" in repository.command("check", "programs").err
    (left,) = repository.command("check", "programs", "--json").document["left_alone"]
    assert left["file"] == name
    (suite,) = JUnitXml.fromstring(repository.command("check", "programs", "--format", "junit").out.encode())
    assert suite.skipped == 1
    (run,) = json.loads(repository.command("check", "programs", "--format", "sarif").out)["runs"]
    (note,) = run["invocations"][0]["toolExecutionNotifications"]
    assert (note["level"], run["invocations"][0]["executionSuccessful"]) == ("note", True)
    assert note["locations"][0]["physicalLocation"]["artifactLocation"]["uri"] == name
