"""JUnit XML: a test case for each program, failed where a bound is broken.

There is no standard behind the form, only what everybody reads: a case holds
at most one ``failure`` or ``error``, and what is no more than a warning stands
in its ``system-out``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from pathlib import PurePath
from typing import TYPE_CHECKING
from xml.etree import ElementTree as Xml

from gen.jobs.report import finding_line, summary
from gen.jobs.reports.checked import Checked

if TYPE_CHECKING:
    from gen.base.finding import Finding

SUITE = "dressblock check"


def junit(programs: Sequence[Checked]) -> str:
    """The XML document about ``programs``."""
    counts = {
        "tests": str(len(programs)),
        "failures": str(sum(bool(program.broken) for program in programs)),
        "errors": str(sum(bool(program.error) for program in programs)),
    }
    root = Xml.Element("testsuites", {"name": "dressblock", **counts})
    left = str(sum(bool(program.left) for program in programs))
    suite = Xml.SubElement(root, "testsuite", {"name": SUITE, **counts, "skipped": left})
    for program in programs:
        _case(suite, program)
    Xml.indent(root)
    return f'<?xml version="1.0" encoding="UTF-8"?>\n{Xml.tostring(root, encoding="unicode")}\n'


def _case(suite: Xml.Element, program: Checked) -> None:
    path = PurePath(program.path)
    folder = ".".join(part for part in path.parent.parts if part != path.anchor) or SUITE
    names = {"name": path.name, "classname": folder, "file": path.as_posix()}
    case = Xml.SubElement(suite, "testcase", {key: _allowed(value) for key, value in names.items()})
    if program.left:
        Xml.SubElement(case, "skipped", {"message": _allowed(program.left)})
        return
    if program.error:
        _told(case, "error", "unusable", program.error, program.error)
        return
    if program.broken:
        rules = " ".join(dict.fromkeys(finding.rule for finding in program.broken))
        _told(case, "failure", rules, summary(program.findings), _lines(program, program.broken))
    if program.doubtful:
        Xml.SubElement(case, "system-out").text = _allowed(_lines(program, program.doubtful))


def _told(case: Xml.Element, tag: str, kind: str, message: str, text: str) -> None:
    head = _allowed(message.partition("\n")[0])
    Xml.SubElement(case, tag, {"type": kind, "message": head}).text = _allowed(text)


def _lines(program: Checked, findings: Iterable[Finding]) -> str:
    return "\n".join(finding_line(program.path, finding) for finding in findings)


_NO_CHAR = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")


def _allowed(text: str) -> str:
    """``text`` with "?" for each character that XML 1.0 (its production 2, Char) cannot hold."""
    return _NO_CHAR.sub("?", text)
