"""A shop with one machine on each control that has registers, the tests' own among them."""

from __future__ import annotations

import pytest

from . import bench
from .bench import Bench


@pytest.fixture(scope="session")
def benches(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Bench]:
    return bench.made_in(tmp_path_factory.mktemp("proof"))
