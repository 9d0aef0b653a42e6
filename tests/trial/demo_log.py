"""The demo shop's trial: planned by the command, ground by an invented shop; running this file writes its log."""

from __future__ import annotations

import tempfile
from pathlib import Path

from gen.base.places import data_folder
from runner import invoke
from trial.shops import Diary, Shop, filled_in, shop

RECIPE = "north-bench/dress/flute-rough.toml"
LOG = "north-bench/logs/flute-rough-trial.csv"
TARGETS = "210,240,270,300"
BLOCKS = 3


def demo_shop() -> Shop:
    """The invented truth behind the demo log."""
    return shop(
        1, clean=1.05, rise=0.07, most=0.9, half=190.0, steep=5.0, loss_um=2.5, harsh=260.0, noise=0.02, uneven=0.03,
        gauge_um=1.5, usual=6, limit=2.0, part_um=0.4,
    )  # fmt: skip


def made() -> str:
    """The log that the demo shop fills in."""
    with tempfile.TemporaryDirectory() as folder:
        words = ["trial", "plan", str(data_folder("machines") / RECIPE), "--targets", TARGETS, "--blocks", str(BLOCKS)]
        result = invoke(*words, "--out", folder)
        assert result.exit_code == 0, result.stderr
        log = Path(folder) / "trial.csv"
        filled_in(log, Diary(demo_shop()))
        return log.read_text()


if __name__ == "__main__":
    (data_folder("machines") / LOG).write_text(made(), encoding="utf-8", newline="\n")
