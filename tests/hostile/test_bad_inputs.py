"""Every bad value of every kind of key: one message a mistake, with file, key, what was read, what would help."""

from __future__ import annotations

from pathlib import Path

import pytest

from gen.base.errors import DressblockError
from gen.shop.load import load_machine, load_recipe
from hostile.bad_inputs import Bad, bad_inputs

ALL = list(bad_inputs())


def message(bad: Bad) -> str:
    path = Path("bench.toml")
    with pytest.raises(DressblockError) as caught:
        (load_recipe if bad.kind == "recipe" else load_machine)(path, bad.tables)
    return str(caught.value)


def test_there_are_enough_of_them() -> None:
    assert len(ALL) >= 300
    assert len({(bad.kind, bad.key, repr(bad.value)) for bad in ALL}) == len(ALL)


@pytest.mark.parametrize("bad", ALL, ids=[f"{bad.kind}-{bad.key}-{str(bad.value)[:12]!r}" for bad in ALL])
def test_the_message_names_file_and_key_and_helps(bad: Bad) -> None:
    lines = message(bad).splitlines()
    about = [line for line in lines if line.startswith(f"bench.toml: {bad.key}")]
    assert about, lines
    assert any(bad.says in line for line in about), about
    for line in lines:
        # a sentence, in plain words: nothing of the language or the libraries it is made with
        assert line.endswith((".", "?"))
        assert line.isprintable()
        assert len(line) < 500
        for foreign in ("pydantic", "Input should", "type=", "Decimal", "None", "dict", "str ", "Error", "tuple"):
            assert foreign not in line
