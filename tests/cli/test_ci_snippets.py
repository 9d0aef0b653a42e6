"""What the README offers for a shop's CI: valid where it is to be pasted, and made of commands that exist."""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import click
import pytest
import yaml

from gen.cli import COMMANDS, main

ROOT = Path(__file__).parents[2]
HOOKS: list[dict[str, Any]] = yaml.safe_load((ROOT / ".pre-commit-hooks.yaml").read_text())


def snippet(name: str) -> str:
    found = re.search(rf"<!-- {name} -->\n```yaml\n(.*?)```", (ROOT / "README.md").read_text(), re.DOTALL)
    assert found, f"the README has no snippet {name}"
    return found[1]


def commands() -> Iterator[str]:
    for name in ("github", "gitlab"):
        yield from re.findall(r"dressblock (?:check|generate|splice|limits)\b[^\n>|]*", snippet(name))
    # a hook is given the names of the files behind its own words, unless it says otherwise
    yield from (f"{hook['entry']}{' file' if hook.get('pass_filenames', True) else ''}" for hook in HOOKS)


# the schemas are those that the services publish, as the package check-jsonschema carries them
@pytest.mark.parametrize(
    ("name", "schema", "where"),
    [
        ("github", "vendor.github-workflows", ".github/workflows/dressing.yml"),
        ("gitlab", "vendor.gitlab-ci", ".gitlab-ci.yml"),
    ],
)
def test_a_snippet_is_what_its_service_reads(tmp_path: Path, name: str, schema: str, where: str) -> None:
    path = tmp_path / where
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text(snippet(name))
    judge = [sys.executable, "-m", "check_jsonschema", "--builtin-schema", schema, str(path)]
    verdict = subprocess.run(judge, capture_output=True, text=True, check=False)
    assert verdict.returncode == 0, verdict.stdout + verdict.stderr


def test_every_command_in_them_exists() -> None:
    found = list(commands())
    assert len(found) >= 9
    for line in found:
        _, name, *words = shlex.split(line)
        assert name in COMMANDS, line
        command = main.get_command(click.Context(main), name)
        assert command is not None
        command.make_context(name, words)


def test_the_hooks_are_those_that_the_snippet_names() -> None:
    (repo,) = yaml.safe_load(snippet("pre-commit"))["repos"]
    assert [hook["id"] for hook in repo["hooks"]] == [hook["id"] for hook in HOOKS]
    # what pre-commit's manifest must have, from its documentation, from memory
    assert all({"id", "name", "entry", "language", "files"} <= hook.keys() for hook in HOOKS)


@pytest.mark.parametrize(
    ("hook", "path", "taken"),
    [
        ("dressblock-check", "programs/bench/a.nc", True),
        ("dressblock-check", "programs/bench/a.html", False),
        ("dressblock-drift", "machines/bench/dress/a.toml", True),
        ("dressblock-drift", "machines/bench/machine.toml", True),
        ("dressblock-drift", "programs/bench/a.nc", True),
        ("dressblock-check", "programs/bench/A.NC", True),
        ("dressblock-spliced", "machines/bench/hosts/a.ngc", True),
        ("dressblock-limits", "machines/bench/machine.toml", True),
    ],
)
def test_a_hook_takes_the_files_it_is_for(hook: str, path: str, taken: bool) -> None:
    (pattern,) = [one["files"] for one in HOOKS if one["id"] == hook]
    assert bool(re.search(pattern, path)) is taken


def test_the_shell_lines_run_on_a_shop(tmp_path: Path) -> None:
    """The lines of both services, as their shells run them (sh -e), in a shop whose programs are as generated."""
    shutil.copytree(ROOT / "machines/inch-table", tmp_path / "machines/inch-table")
    path = f"{Path(sys.executable).parent}:{os.environ['PATH']}"
    environment = {**os.environ, "PATH": path, "PYTHONPATH": str(ROOT)}

    def run(script: str) -> subprocess.CompletedProcess[str]:
        shell = ["sh", "-ec", script]
        return subprocess.run(shell, cwd=tmp_path, env=environment, capture_output=True, text=True, check=False)

    assert run("dressblock generate machines --out programs").returncode == 0
    (job,) = yaml.safe_load(snippet("gitlab")).values()
    (script,) = job["script"]
    steps = yaml.safe_load(snippet("github"))["jobs"]["dressing"]["steps"]
    lines = [step["run"] for step in steps if "dressblock " in step.get("run", "") and "pip" not in step["run"]]
    assert len(lines) == 4
    assert run(script).returncode == 0
    assert [run(line).returncode for line in lines] == [0] * 4

    # one gate red: the others run all the same, and the reports are whole
    machine = tmp_path / "machines/inch-table/machine.toml"
    machine.write_text(machine.read_text().replace('spin_up = "5 s"', 'spin_up = "6 s"'))
    done = run(script)
    assert done.returncode == 1
    assert "generate it again" in done.stderr
    assert "recipes would be refused" in done.stdout
    assert ElementTree.parse(tmp_path / "dressing.xml").getroot().tag == "testsuites"
    shutil.rmtree(tmp_path / "programs")
    assert run(lines[0]).returncode == 2
    assert json.loads((tmp_path / "dressing.sarif").read_text(encoding="utf-8"))["version"] == "2.1.0"


# it installs the package anew, from the index: only where everything is installed anyway
@pytest.mark.skipif(os.environ.get("DRESSBLOCK_JUDGES") != "required", reason="it wants an index of packages")
def test_pre_commit_itself_runs_the_hooks_on_a_shop(tmp_path: Path) -> None:
    """The snippet with a copy of this tree for ``repo``, run by ``pre-commit`` on a clean shop and a stale one."""
    clone, shop = tmp_path / "clone", tmp_path / "shop"

    def run(*words: str) -> subprocess.CompletedProcess[str]:
        identity = {f"GIT_{who}_{what}": "a@b.invalid" for who in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")}
        environment = {**os.environ, **identity, "PRE_COMMIT_HOME": str(tmp_path / "home"), "PYTHONPATH": ""}
        return subprocess.run(words, cwd=shop, env=environment, capture_output=True, text=True, check=False)

    shop.mkdir()
    names = ("gen", "templates", "machines", "README.md", "pyproject.toml", ".pre-commit-hooks.yaml", ".gitignore")
    for one in (ROOT / name for name in names):
        if one.is_dir():
            shutil.copytree(one, clone / one.name, ignore=shutil.ignore_patterns("__pycache__"))
        else:
            shutil.copy(one, clone / one.name)
    for words in ("init -q", "add --all", "commit -q -m all"):
        assert run("git", "-C", str(clone), *words.split()).returncode == 0
    revision = run("git", "-C", str(clone), "rev-parse", "HEAD").stdout.strip()
    text = snippet("pre-commit").replace("https://git.example/dressblock", str(clone)).replace("v0.1.0", revision)
    (shop / ".pre-commit-config.yaml").write_text(text)
    shutil.copytree(ROOT / "machines/inch-table", shop / "machines/inch-table")
    assert run("git", "init", "-q").returncode == 0
    environment = {**os.environ, "PYTHONPATH": str(ROOT)}
    made = [sys.executable, "-m", "gen", "generate", "machines"]
    assert subprocess.run(made, cwd=shop, env=environment, check=False).returncode == 0
    run("git", "add", "--all")
    hooks = (sys.executable, "-m", "pre_commit", "run", "--all-files")
    clean = run(*hooks)
    assert clean.returncode == 0, clean.stdout + clean.stderr
    assert clean.stdout.count("Passed") == len(HOOKS)

    machine = shop / "machines/inch-table/machine.toml"
    machine.write_text(machine.read_text().replace('spin_up = "5 s"', 'spin_up = "6 s"'))
    run("git", "add", "--all")
    stale = run(*hooks)
    assert stale.returncode == 1
    assert "no longer follows from its machine" in stale.stdout
