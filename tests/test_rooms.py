"""DEVELOPERS.md shows a contributor around: no module of ``gen/`` is without its room."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[1]


def test_every_module_has_one_room() -> None:
    table = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("## The rooms")[2].partition("\n\nFour rules")[0]
    rooms = [row.split("|")[1] for row in table.splitlines() if row.startswith("| `")]
    named = [name.rstrip("/") for room in rooms for name in re.findall(r"`([^`]+)`", room)]
    there = {path.stem for path in (ROOT / "gen").iterdir() if path.suffix == ".py" or (path / "__init__.py").is_file()}
    assert sorted(named) == sorted(there - {"__init__"})
