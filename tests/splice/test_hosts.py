"""Each of the ten programs, on every control that reads it: proven or rightly refused, and the same the second time."""

from __future__ import annotations

from pathlib import Path

import pytest
from hosts import HOSTS, Bench, Host, fitting

from gen.host.text import HostLines
from gen.jobs.splice import write_spliced

PAIRS = list(fitting())

REFUSED_AS_THEY_STAND = {"outside-relief", "surface-steps"}
"""Both go on by steps behind the place: from where the dress leaves the axes they would end elsewhere."""


def label(value: object) -> str:
    return str(value)


def test_there_are_ten_and_each_fits_its_own_control() -> None:
    assert len(HOSTS) == 10
    assert {str(host) for host, _ in PAIRS} == {str(host) for host in HOSTS}
    assert len(PAIRS) > len(HOSTS)
    assert sum(host.after is not None for host in HOSTS) == 3


@pytest.mark.parametrize("call", [False, True], ids=["block", "call"])
@pytest.mark.parametrize("back", [False, True], ids=["on", "back"])
@pytest.mark.parametrize(("host", "control"), PAIRS, ids=label)
def test_proven_or_refused_and_the_second_time_the_same(
    tmp_path: Path, host: Host, control: str, back: bool, call: bool
) -> None:
    bench = Bench.of(host, control, tmp_path)
    path, before = bench.program(host), bench.program(host).read_bytes()
    job = bench.spliced(host, call=call, back=back)
    rules = {finding.rule for finding in job.findings if finding.severity == "error"}
    if call and bench.right_once(host):
        assert rules == {"right-once"}
        assert path.read_bytes() == before
        return
    if not back and str(host) in REFUSED_AS_THEY_STAND:
        assert rules == {"host-path"}
        assert any("--return" in finding.message for finding in job.findings)
        assert path.read_bytes() == before
        return
    assert rules == set(), job.findings
    assert job.text is not None
    write_spliced(job, path)
    once = path.read_bytes()
    lines = HostLines(once.decode())
    assert lines.without(job.lines.start, job.lines.stop - 1).text.encode() == before
    again = bench.spliced(host, call=call, back=back)
    assert again.same
    write_spliced(again, path)
    assert path.read_bytes() == once


@pytest.mark.parametrize("host", HOSTS, ids=label)
def test_a_new_recipe_replaces_the_block_and_nothing_else(tmp_path: Path, host: Host) -> None:
    control = next(control for one, control in PAIRS if one == host)
    bench = Bench.of(host, control, tmp_path)
    path, before = bench.program(host), bench.program(host).read_bytes()
    write_spliced(bench.spliced(host, back=True), path)
    recipe = bench.recipe(host)
    old, text = path.read_bytes(), recipe.read_text()
    aggressiveness = next(line for line in text.splitlines() if line.startswith("aggressiveness"))
    recipe.write_text(text.replace(aggressiveness, "aggressiveness = 235"))
    job = bench.spliced(host, back=True)
    write_spliced(job, path)
    new = path.read_bytes()
    assert new != old
    assert HostLines(new.decode()).without(job.lines.start, job.lines.stop - 1).text.encode() == before
