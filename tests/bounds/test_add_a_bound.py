"""A bound is added the way DEVELOPERS.md says: its example, put where it says, and nothing else touched."""

from __future__ import annotations

import json
import re
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
WHERE = re.compile(r"`(gen/bounds/rules/[a-z/]+\.py)` might be:\n\n```python\n(.*?)```", re.DOTALL)


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A copy of the package with the example in it."""
    root = tmp_path_factory.mktemp("house")
    shutil.copytree(ROOT / "gen", root / "gen", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copytree(ROOT / "machines", root / "machines")
    (root / "templates").symlink_to(ROOT / "templates")
    found = WHERE.search((ROOT / "DEVELOPERS.md").read_text(encoding="utf-8"))
    assert found is not None, "DEVELOPERS.md has no example of a bound"
    assert not (root / found[1]).exists()
    (root / found[1]).write_text(found[2], encoding="utf-8")
    return root


def run(house: Path, *words: str) -> subprocess.CompletedProcess[str]:
    return subprocess.run([sys.executable, "-m", "gen", *words], cwd=house, capture_output=True, text=True, check=False)


def test_it_tells_of_itself(house: Path) -> None:
    (rule,) = json.loads(run(house, "rules", "stick-share", "--json").stdout)["rules"]
    assert rule["holds"] == "A dress takes no more than a tenth of a new stick."
    assert rule["needs"] == ["recipe"]
    assert rule["helps"] == "A smaller plunge, or longer sticks."


def test_it_refuses_and_proposes(house: Path) -> None:
    recipe = house / "machines/north-bench/dress/flute-rough.toml"
    assert run(house, "generate", str(recipe), "--out", "good").returncode == 0
    recipe.write_text(recipe.read_text().replace('plunge = "8 mm"', 'plunge = "8 mm"\nplunges = 2'))
    refused = run(house, "generate", str(recipe), "--out", "bad")
    assert refused.returncode == 1
    assert "error stick-share: a dress takes 16 mm of the stick; a tenth is 15 mm." in refused.stderr
    assert "With a plunge of 7.5 mm it fits." in refused.stderr
