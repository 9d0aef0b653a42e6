"""Files in and out: TOML read into a model, and data written whole or not at all."""

from __future__ import annotations

import contextlib
import os
import re
import secrets
import stat
import time
import tomllib
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Any

from gen.base.errors import DressblockError

_MAX_BYTES = 1 << 20
"""The largest file that is read as TOML."""

MAX_DOTS = 64
"""The most points in a line of TOML: the time that a dotted key takes to read grows as their square."""


def read_toml(path: Path) -> dict[str, Any]:
    """The tables of the TOML file ``path``, fractions as exact decimals.

    :class:`DressblockError` if it is missing, no file, over 1 MiB, not UTF-8 or not TOML.
    """
    text = utf8_text(path, _MAX_BYTES, "this file is larger than 1 MiB; a machine or recipe file is a few kB.")
    for number, line in enumerate(text.splitlines(), 1):
        if line.count(".") > MAX_DOTS and not line.lstrip().startswith("#"):
            raise DressblockError(
                f"line {number} has more than {MAX_DOTS} points; no key or value wants them.", file=path
            )
    try:
        return tomllib.loads(text, parse_float=Decimal)
    except tomllib.TOMLDecodeError as error:
        raise DressblockError(
            f"this is not valid TOML: {_lowered(str(error))}{_hint(text, error)}.", file=path
        ) from None
    except (ValueError, ArithmeticError):
        raise DressblockError("a number in this file is too large, or is no number.", file=path) from None
    except RecursionError:
        raise DressblockError("lists or tables in this file are nested too deeply.", file=path) from None


def utf8_text(path: Path, most: int, larger: str, saved: str = "UTF-8") -> str:
    """The text of the file ``path``, which must be in UTF-8 and have at most ``most`` bytes.

    :class:`DressblockError` if not: of a larger file it says what ``larger`` has, of another encoding to save it as
    ``saved`` says.
    """
    try:
        if path.is_dir():
            raise DressblockError("this is a folder; name the file in it.", file=path)
        if path.exists() and not path.is_file():
            raise DressblockError("this is not an ordinary file.", file=path)
        with path.open("rb") as file:
            data = file.read(most + 1)
    except FileNotFoundError:
        raise DressblockError("there is no such file.", file=path) from None
    except (OSError, ValueError) as error:
        raise DressblockError(f"this file cannot be read: {_reason(error)}.", file=path) from None
    if len(data) > most:
        raise DressblockError(larger, file=path)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise DressblockError(f"this file is not UTF-8 (line {line}); save it as {saved}.", file=path) from None


_UNQUOTED = re.compile(r"(?:^|[{,])\s*([\w.-]+)\s*=\s*\[?\s*([+-]?[\d.]+\s*[A-Za-zµ°%][\w/%°²³]*(?:\s*/\s*\w+)?)")
_LINE = re.compile(r"line (\d+)")


def _hint(text: str, error: tomllib.TOMLDecodeError) -> str:
    """What would help, where the line that cannot be read has a quantity without quotes."""
    place = _LINE.search(str(error))
    lines = text.splitlines()
    if place is None or int(place[1]) > len(lines):
        return ""
    found = _UNQUOTED.search(lines[int(place[1]) - 1])
    return f'; put quotes around a value with a unit: {found[1]} = "{found[2].strip()}"' if found else ""


def _lowered(text: str) -> str:
    text = re.sub(r"'([^']*)'", r'"\1"', text).rstrip(".")
    return text[:1].lower() + text[1:]


def _reason(error: Exception) -> str:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else str(error)
    return _lowered(reason)


def write_whole(path: Path, data: bytes | str) -> None:
    """Writes ``data`` (text as UTF-8, line ends as they are) to ``path``, whole or not at all.

    What ``path`` held stays there until the new content is on disk. The folder
    must exist. :class:`DressblockError` if it cannot be written.
    """
    try:
        content = data.encode() if isinstance(data, str) else data
        target = Path(os.path.realpath(path))
        _sweep(target.parent)
        scratch = target.with_name(f".{target.name[:60]}.{secrets.token_hex(6)}.tmp")
        try:
            _write_durably(scratch, content)
            # a share may keep no permissions, and a file that is new has none yet
            with contextlib.suppress(OSError):
                scratch.chmod(stat.S_IMODE(target.stat().st_mode))
            _replace(scratch, target)
            _settle(target.parent)
        except BaseException:
            scratch.unlink(missing_ok=True)
            raise
    except FileNotFoundError:
        raise DressblockError("this file cannot be written: its folder does not exist.", file=path) from None
    except (OSError, ValueError) as error:
        raise DressblockError(f"this file cannot be written: {_reason(error)}.", file=path) from None


WINDOWS = os.name == "nt"

PATIENCE = (0.05, 0.1, 0.2, 0.4, 0.8)
"""Seconds between attempts to replace a file that another program, such as a virus scanner, holds open."""


def _replace(scratch: Path, target: Path) -> None:
    for pause in PATIENCE:
        try:
            os.replace(scratch, target)
        except PermissionError:
            if not WINDOWS:
                raise
            time.sleep(pause)
        else:
            return
    os.replace(scratch, target)


_LEFT_BEHIND = re.compile(r"\..{1,60}\.[0-9a-f]{12}\.tmp", re.DOTALL)
OLD = 3600
"""Seconds after which a half-written file is nobody's any more."""


@lru_cache(maxsize=1024)
def _sweep(folder: Path) -> None:
    """Takes away what runs that were killed an hour ago and more had begun to write, once a folder and run."""
    with contextlib.suppress(OSError):
        for entry in folder.iterdir():
            if _LEFT_BEHIND.fullmatch(entry.name) and time.time() - entry.lstat().st_mtime > OLD:
                entry.unlink()


def _settle(folder: Path) -> None:
    """The new name survives a power cut too, where folders can be synced."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _write_durably(path: Path, content: bytes) -> None:
    # "x" leaves the permissions to the user's umask, which a temporary-file helper would not
    with path.open("xb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
