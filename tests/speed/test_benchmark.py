"""The benchmark runs, a little of it; its figures are for whoever asks for them."""

from __future__ import annotations

import benchmark


def test_a_little_of_it() -> None:
    said = [*benchmark.many(0.01), *benchmark.long_hosts(0.002), next(benchmark.spliced_hosts(0.002))]
    said += benchmark.many_lanes(0.01)
    assert len(said) == 6
    assert " 200 lanes" in said[-1]
    assert all("nan" not in line for line in said)
