"""The folder of the control that only tests have."""

from __future__ import annotations

from pathlib import Path

import pytest

from controls import mixed


@pytest.fixture(scope="session")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return mixed.made_in(tmp_path_factory.mktemp("controls"))
