"""Templates of this package as they were compiled before, kept in the user's cache folder from run to run.

Compiling the sheet's templates takes longer than everything else that a run
does. What is kept is checked against the template's text each time, and a
folder that is not the user's own, or cannot be written, is simply not used.
Templates from anywhere else are never kept: they are looked through each time.
"""

from __future__ import annotations

import os
import sys
import tempfile
from contextlib import suppress
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket, BytecodeCache


class CompiledTemplates(BytecodeCache):
    """``kind`` tells apart environments that compile the same template differently."""

    def __init__(self, kind: str) -> None:
        self._folder = _folder()
        self._kind = f"{kind}-{jinja2.__version__}-{sys.implementation.cache_tag}"

    def load_bytecode(self, bucket: Bucket) -> None:
        if self._folder is None:
            return
        try:
            bucket.bytecode_from_string(self._place(self._folder, bucket).read_bytes())
        except Exception:  # whatever a damaged file does to unpickling, the template is compiled anew
            bucket.reset()

    def dump_bytecode(self, bucket: Bucket) -> None:
        if self._folder is None:
            return
        with suppress(OSError):
            with tempfile.NamedTemporaryFile(dir=self._folder, delete=False) as file:
                file.write(bucket.bytecode_to_string())
            os.replace(file.name, self._place(self._folder, bucket))

    def _place(self, folder: Path, bucket: Bucket) -> Path:
        return folder / f"{bucket.key}-{self._kind}"


def _folder() -> Path | None:
    """The folder, made if need be; None if it cannot be made, or others may write to it."""
    root = os.environ.get("XDG_CACHE_HOME") or os.path.expanduser("~/.cache")
    if not os.path.isabs(root):
        return None
    folder = Path(root) / "dressblock"
    try:
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        found = folder.stat()
    except OSError:
        return None
    owned = not hasattr(os, "getuid") or found.st_uid == os.getuid()
    return folder if owned and not found.st_mode & 0o022 else None
