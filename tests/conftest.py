"""What all tests share: one way of drawing examples, the command line, and a copy of the demo shop to break.

No deadline: a machine that is busy with something else is no fault of the code.
"""

import shutil
from pathlib import Path

import pytest
from hypothesis import settings

from gen.base.places import data_folder
from runner import Command, Outcome, Shop, invoke

settings.register_profile("dressblock", deadline=None)
settings.load_profile("dressblock")


@pytest.fixture
def command() -> Command:
    """Runs ``dressblock`` with the given words."""

    def run(*words: object) -> Outcome:
        result = invoke(*words)
        assert result.exception is None or isinstance(result.exception, SystemExit), result.exception
        return Outcome(result.exit_code, result.stdout, result.stderr)

    return run


@pytest.fixture
def shop(tmp_path: Path) -> Shop:
    shutil.copytree(data_folder("machines"), tmp_path / "machines")
    return Shop(tmp_path)
