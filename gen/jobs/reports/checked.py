"""One program that was checked."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from gen.base.finding import Finding


@dataclass(frozen=True, slots=True)
class Checked:
    """The program at ``path``, as it was named: its findings, or the ``error`` that kept it from being read.

    ``left``: why it was left alone, as a program without a dress is.
    """

    path: str
    findings: tuple[Finding, ...] = ()
    error: str = ""
    left: str = ""

    @property
    def broken(self) -> tuple[Finding, ...]:
        return tuple(finding for finding in self.findings if finding.severity == "error")

    @property
    def doubtful(self) -> tuple[Finding, ...]:
        """The warnings."""
        return tuple(finding for finding in self.findings if finding.severity == "warning")
