"""Programs that nobody chose: what the page shows at every moment is what was read, whatever is chosen on it.

``DRESSBLOCK_PAGES`` asks for more than the usual programs: 200 hold, in three minutes of processor time.
"""

from __future__ import annotations

import os
from decimal import Decimal
from pathlib import Path

import pytest
from browser import opened, walked
from hypothesis import HealthCheck, assume, given, settings
from hypothesis import strategies as st
from moments_read import holds

from gen.base.errors import DressblockError
from gen.base.toml import as_toml
from gen.bounds.build import build
from gen.bounds.states import when_due
from gen.control.draft import Program
from gen.control.options import Options
from gen.jobs.provenance import Named
from gen.jobs.show import program_page
from gen.plan.node import State
from strategies import Pair, options, pairs, read_back

PAGES = int(os.environ.get("DRESSBLOCK_PAGES", "10"))
ENDS = (Decimal(1), Decimal("0.5"), Decimal(0))
"""The choices of the page in its order: new, half worn, worn; full, half used, the last."""


def accepted(pair: Pair, data: st.DataObject) -> Program:
    """The program of ``pair``, every bound held; another pair is drawn where it is refused."""
    dress = pair.dress()
    try:
        program = build(
            dress.recipe,
            dress.machine,
            ("grinder", "dress"),
            Options() if pair.has_registers else data.draw(options(dress)),
        )
    except DressblockError:
        program = None
    assume(program is not None and program.accepted)
    assert program is not None
    return program


def test_every_moment_is_what_was_read(tmp_path_factory: pytest.TempPathFactory) -> None:
    shown = {"programs": 0, "by registers": 0}
    folder = tmp_path_factory.mktemp("shop")
    machine = folder / "machines/grinder/machine.toml"
    recipe = folder / "machines/grinder/dress/dress.toml"
    recipe.parent.mkdir(parents=True)

    with opened(None) as page:

        @settings(max_examples=PAGES, database=None, suppress_health_check=list(HealthCheck))
        @given(pairs(), st.data())
        def every_moment(pair: Pair, data: st.DataObject) -> None:
            program = accepted(pair, data)
            machine.write_text(as_toml(pair.machine), encoding="utf-8")
            recipe.write_text(as_toml(pair.recipe), encoding="utf-8")
            written = folder / f"dress{program.dialect.control.file_suffix}"
            written.write_text(program.text, encoding="utf-8")
            target = folder / "dress.html"
            target.write_text(program_page(written, Named(machine=machine, recipe=recipe)), encoding="utf-8")

            state, picks = program.state, (0, 0)
            if program.by_registers:
                several = range(3) if program.dress.dresser.needs_length else range(1)
                picks = data.draw(st.tuples(st.sampled_from(range(3)), st.sampled_from(several)))
                state = _state(program, *picks)
            page.goto(Path(target).as_uri())
            reading = read_back(program, state)
            holds(walked(page, *picks), reading.steps, program.text.splitlines(), dict(state.positions))
            shown["programs"] += 1
            shown["by registers"] += program.by_registers

        every_moment()
    assert shown["programs"] == PAGES
    assert shown["by registers"] or PAGES < 50


def _state(program: Program, size: int, length: int) -> State:
    """What the page's choices of these numbers stand for."""
    dress = program.dress
    (worn, new), (least, full) = dress.first.size_range, dress.length_range
    at = worn + (new - worn) * ENDS[size]
    if dress.dresser.needs_length:
        one = dress.state(sizes=(at,), length=least + (full - least) * ENDS[length])
    else:
        places = [value for corner in dress.corners() for value in corner.positions.values()]
        one = dress.state(sizes=(at,), slide_position=Decimal(repr(min(places))))
    return next(iter(when_due(program, [one])))
