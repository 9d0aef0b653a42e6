"""The rooms of the package as the developers' page and the import contract have them, and names that mean one thing."""

import ast
import re
import tomllib
from collections.abc import Iterator
from pathlib import Path

from gen.bounds import RULES

ROOT = Path(__file__).parents[1]


def test_the_developers_page_lists_the_rooms_in_the_order_of_the_contract() -> None:
    table = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("## The rooms")[2].partition("\n\nFour rules")[0]
    named = re.findall(r"^\| `(\w+)/`", table, re.MULTILINE)
    settings = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]
    layers = settings["contracts"][0]["layers"]
    assert named == [layer for layer in reversed(layers) if layer != "__main__"]


def test_no_module_lies_outside_a_room() -> None:
    loose = {path.name for path in (ROOT / "gen").glob("*.py")}
    assert loose == {"__init__.py", "__main__.py"}
    assert (ROOT / "gen" / "py.typed").is_file()


SHARED = {
    "check": "every file of a rule has its one check, and the command is called so too",
    "read": "a subcommand is called as on the command line",
    "show": "a command is called as on the command line",
}
"""Public names that more than one module of the package may define, and why."""


def _public(module: ast.Module) -> Iterator[str]:
    """The names that ``module`` defines for others."""
    for node in module.body:
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef):
            yield node.name
        targets = (
            node.targets if isinstance(node, ast.Assign) else [node.target] if isinstance(node, ast.AnnAssign) else []
        )
        yield from (one.id for target in targets for one in ast.walk(target) if isinstance(one, ast.Name))


def test_a_public_name_means_one_thing_in_the_whole_package() -> None:
    where: dict[str, set[str]] = {}
    for path in (ROOT / "gen").rglob("*.py"):
        for name in _public(ast.parse(path.read_text("utf-8"))):
            if not name.startswith("_"):
                where.setdefault(name, set()).add(path.relative_to(ROOT).as_posix())
    many = {name: sorted(paths) for name, paths in where.items() if len(paths) > 1}
    assert {name: paths for name, paths in many.items() if name not in SHARED} == {}
    assert set(SHARED) == set(many), "a name that one module alone defines needs no exception"


def test_the_check_of_every_file_of_a_rule_is_called_so() -> None:
    checks = [check.function for rule in RULES.values() for check in rule.checks]
    own = [one for one in checks if one.__module__.startswith("gen.bounds.rules.")]
    assert own
    assert {one.__name__ for one in own} == {"check"}
