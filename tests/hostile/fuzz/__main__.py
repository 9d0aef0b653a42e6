"""Runs one target for so many seconds; exit 0 if only :class:`DressblockError` came out, in bounded time and memory.

Where there is no coverage-guided engine for this Python, good files are
damaged at random instead, and the first line of the output says so.
"""

from __future__ import annotations

import argparse
import contextlib
import random
import resource
import signal
import sys
import tempfile
import time
from pathlib import Path

try:
    import atheris
except ImportError:
    atheris = None

with contextlib.nullcontext() if atheris is None else atheris.instrument_imports(include=["gen"]):
    from hostile.fuzz.targets import TARGETS, outcome, seeds

from hostile.fuzz.words import TRICKS, dictionary

MOST_SECONDS, MOST_MB, MOST_BYTES = 90, 1500, 8192
"""For one input: time, memory, and its own length. A program without an end is run to the reader's budget in full."""


def guided(target: str, seconds: int, seed: int, found: Path, good: list[bytes], folder: Path) -> None:
    """Until time is up; the engine ends the process at the first input that fails, and keeps it in ``found``."""
    corpus = folder / "corpus"
    corpus.mkdir()
    for number, data in enumerate(good):
        (corpus / f"seed{number}").write_bytes(data)
    (folder / "words").write_text(dictionary(good))
    options = {
        "max_total_time": seconds,
        "seed": seed,
        "timeout": MOST_SECONDS,
        "rss_limit_mb": MOST_MB,
        "max_len": MOST_BYTES,
        "dict": folder / "words",
        "artifact_prefix": f"{found}/",
        "print_final_stats": 1,
    }
    arguments = [f"-{name}={value}" for name, value in options.items()]
    atheris.Setup([sys.argv[0], *arguments, str(corpus)], lambda data: outcome(target, data))
    atheris.Fuzz()


def blind(target: str, seconds: int, seed: int, found: Path, good: list[bytes]) -> None:
    """The same without a look at what the code does."""
    print("without coverage: there is no atheris for this Python", flush=True)
    resource.setrlimit(resource.RLIMIT_AS, (MOST_MB << 20,) * 2)
    chance, until = random.Random(seed), time.monotonic() + seconds
    words = [word.encode() for word in TRICKS]
    while time.monotonic() < until:
        data = chance.choice(good)
        for _ in range(chance.randint(1, 5)):
            start = chance.randint(0, len(data))
            stop = start + chance.randint(0, 20)
            data = data[:start] + chance.choice([chance.choice(words), chance.randbytes(3), b""]) + data[stop:]
        (found / "last").write_bytes(data)
        signal.alarm(MOST_SECONDS)
        outcome(target, data[:MOST_BYTES])
        signal.alarm(0)


def main() -> None:
    parser = argparse.ArgumentParser(prog="python -m hostile.fuzz", description=__doc__)
    parser.add_argument("target", choices=sorted(TARGETS))
    parser.add_argument("--seconds", type=int, default=60)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--found", type=Path, help="Folder for inputs that failed; a new one unless given.")
    asked = parser.parse_args()
    with tempfile.TemporaryDirectory(prefix=f"dressblock-{asked.target}-") as scratch:
        found = asked.found or Path(tempfile.mkdtemp(prefix=f"dressblock-{asked.target}-found-"))
        print(f"what fails is kept in {found}", flush=True)
        good = list(seeds(asked.target))
        if atheris is None:
            blind(asked.target, asked.seconds, asked.seed, found, good)
        else:
            guided(asked.target, asked.seconds, asked.seed, found, good, Path(scratch))


if __name__ == "__main__":
    main()
