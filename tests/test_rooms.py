"""The rooms of the package: the developers' page names each, in the order that the import contract holds."""

import re
import tomllib
from pathlib import Path

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
