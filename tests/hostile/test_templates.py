"""A shop's own templates: they spell, and whatever else they try is refused in a sentence, soon."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest

from gen.base.errors import DressblockError
from gen.control.render import Words

PLAIN = '{% macro switch(code) %}{{ code ~ "" }}{% endmacro %}'


def words(folder: Path, body: str, common: str | None = None) -> Words:
    (folder / "words.j2").write_text(body, encoding="utf-8")
    if common is not None:
        (folder / "common.j2").write_text(common, encoding="utf-8")
    return Words(folder)


def spelled(folder: Path, body: str, **values: object) -> str:
    return words(folder, "{% macro m(" + ", ".join(values) + ") %}" + body + "{% endmacro %}").say("m", **values)


@pytest.mark.parametrize(
    ("body", "values", "says"),
    [
        ('{{ words | join(" ") | upper }}', {"words": ["g1", "x2"]}, "G1 X2"),
        ('{{ {"lt": "<"}[op] ~ number }}', {"op": "lt", "number": 7}, "<7"),
        ('{% for w in words if w[0] not in "GM" %}{{ w }}{% else %}-{% endfor %}', {"words": ["G1", "SUPA"]}, "SUPA"),
        ('{% if a == "x" and not b %}{{ a }}{% elif b %}{{ b }}{% endif %}', {"a": "x", "b": ""}, "x"),
        ('{{ "A" if a in ["x", "y"] else "B" }}{{ a | length }}', {"a": "x"}, "A1"),
    ],
)
def test_what_spelling_needs_is_there(body: str, values: dict[str, object], says: str, tmp_path: Path) -> None:
    assert spelled(tmp_path, body, **values) == says


def test_the_common_macros_can_be_taken_in(tmp_path: Path) -> None:
    made = words(
        tmp_path,
        '{% from "common.j2" import remarked %}{% macro m(code) %}{{ remarked(code, "(here)") }}{% endmacro %}',
    )
    assert made.say("m", code="M0") == "M0 (here)"


REFUSED = [
    # a formula
    *((f"{{{{ a {sign} 60 }}}}", f'"{sign}" works something out') for sign in ("+", "-", "*", "/", "//", "%", "**")),
    ("{{ -a }}", '"-" works something out'),
    ('{{ "x" * 1000000000 }}', '"*" works something out'),
    ("{{ a | round }}", 'no filter "round"'),
    ("{{ a | float }}", 'no filter "float"'),
    ("{{ [1, 2] | sum }}", 'no filter "sum"'),
    ("{% if a > 5 %}{% endif %}", "compares by"),
    # a way out
    ("{{ a.__class__ }}", '".__class__" looks into a value'),
    ("{{ a.upper() }}", "only a macro can be called"),
    ('{{ "%s" | format(a) }}', 'no filter "format"'),
    ('{{ a | attr("__class__") }}', 'no filter "attr"'),
    ('{{ a | map("upper") | join }}', 'no filter "map"'),
    ("{{ self }}", 'nothing gives "self"'),
    ("{{ lipsum() }}", 'nothing gives "lipsum"'),
    ("{{ cycler(1) }}", 'nothing gives "cycler"'),
    ("{{ namespace() }}", 'nothing gives "namespace"'),
    ('{{ a("x") if a is callable }}', '"test" is more'),
    ("{{ a(*a) }}", "not by a star"),
    ("{{ a(**a) }}", "not by a star"),
    ("{{ a[1:] }}", '"slice" is more'),
    ('{% include "/etc/passwd" %}', '"include" is more'),
    ('{% include "common.j2" %}', '"include" is more'),
    ('{% import "common.j2" as c %}', '"import" is more'),
    ('{% from "../rs274ngc/words.j2" import let %}', 'from "common.j2" and from nowhere else'),
    ("{% from a import let %}", 'from "common.j2" and from nowhere else'),
    ("{% set b = a %}", '"assign" is more'),
    ("{% with b = a %}{% endwith %}", '"with" is more'),
    ("{% filter upper %}x{% endfilter %}", '"filterblock" is more'),
    ("{% call a() %}x{% endcall %}", '"callblock" is more'),
    ("{% block b %}x{% endblock %}", '"block" is more'),
    ("{% autoescape true %}x{% endautoescape %}", "is more than a template may do"),
    # without an end
    ("{% for i in range(10) %}{{ i }}{% endfor %}", 'nothing gives "range"'),
    ("{% for i in a recursive %}{{ loop(a) }}{% endfor %}", "a loop cannot call itself"),
    # not a template
    ("{{ a", "this template cannot be used: line 1"),
    ("{% frob %}", "this template cannot be used: line 1"),
    ("{{ " + "(" * 3000 + "a" + ")" * 3000 + " }}", "nested too deeply"),
    ("{{ " + "9" * 5000 + " }}", "number in it is too large"),
    ("{# " + "x" * 70_000 + " #}", "larger than 64 kB"),
    # a name that a branch not taken would never show
    ('{% if a == "never" %}{{ b }}{% endif %}', 'nothing gives "b"'),
]


@pytest.mark.parametrize(("body", "says"), REFUSED)
def test_more_than_spelling_is_refused_with_its_file(body: str, says: str, tmp_path: Path) -> None:
    with pytest.raises(DressblockError) as caught:
        words(tmp_path, "{% macro m(a) %}" + body + "{% endmacro %}")
    assert re.fullmatch(rf"{re.escape(str(tmp_path / 'words.j2'))}: .*{re.escape(says)}.*\.", str(caught.value))


def test_a_shops_own_common_macros_are_held_to_the_same(tmp_path: Path) -> None:
    with pytest.raises(DressblockError, match=r"common\.j2: line 1: \"/\" works something out"):
        words(tmp_path, PLAIN, "{% macro m(a) %}{{ a / 60 }}{% endmacro %}")
    with pytest.raises(DressblockError, match=r"common\.j2: line 1: this file cannot take macros from itself"):
        words(tmp_path, PLAIN, '{% from "common.j2" import x %}')


def test_a_template_that_is_no_text(tmp_path: Path) -> None:
    (tmp_path / "words.j2").write_bytes(b"\xff\xfe\x00")
    with pytest.raises(DressblockError, match=r"words\.j2: this template is not UTF-8"):
        Words(tmp_path)
    (tmp_path / "words.j2").unlink()
    with pytest.raises(DressblockError, match=r"this control has no words\.j2"):
        Words(tmp_path)


TEN = list("0123456789")
DOUBLING = "".join(
    "{% macro d" + str(level) + "(x) %}{{ d" + str(level + 1) + "(x ~ x) }}{% endmacro %}" for level in range(40)
)
HEAVY = [
    ("a loop in a loop in a loop", "{% for i in w %}" * 9 + "{{ i }}" + "{% endfor %}" * 9),
    ("loops that write nothing", "{% for i in w %}" * 9 + "{% endfor %}" * 9),
    ("loops over plain text", "{% for i in w %}" * 7 + "x" * 30_000 + "{% endfor %}" * 7),
    ("a macro that calls itself", "{{ m(w) }}"),
    ("a macro that calls itself twice", "{% if w %}{{ m(w) }}{{ m(w) }}{% endif %}"),
    ("a text that doubles", "{{ d0(w | join) }}"),
    ("a join of a join", "{{ w | join(w | join(w | join(w | join(w | join(w | join))))) }}"),
    ("a text gone through and joined by itself", "{{ x | join(x) }}"),
]


@pytest.mark.parametrize(("body"), [body for _, body in HEAVY], ids=[name for name, _ in HEAVY])
def test_what_has_no_end_is_stopped_soon(body: str, tmp_path: Path) -> None:
    made = words(
        tmp_path,
        DOUBLING + '{% macro d40(x) %}{{ x }}{% endmacro %}{% macro m(w, x="") %}' + body + "{% endmacro %}",
    )
    started = time.monotonic()
    with pytest.raises(DressblockError, match=r'words\.j2: the macro "m" fails: it (takes|writes|calls)'):
        made.say("m", w=TEN * 10, x="x" * 100_000)
    assert time.monotonic() - started < 5


@pytest.mark.parametrize(
    ("body", "says"),
    [
        ('{{ w["append"] }}', "append"),
        ('{{ "x"["format"] }}', "format"),
        ('{{ {"a": 1}["b"] }}', "b"),
        ("{{ w() }}", "not callable"),
        ("{% for i in n %}{% endfor %}", "only a list that is given"),
        ("{{ w | join(1, 2, 3) }}", "argument"),
    ],
)
def test_a_look_inside_a_value_finds_nothing(body: str, says: str, tmp_path: Path) -> None:
    made = words(tmp_path, "{% macro m(w, n) %}" + body + "{% endmacro %}")
    with pytest.raises(DressblockError, match=rf'words\.j2: the macro "m" fails: .*{says}.*\.'):
        made.say("m", w=["G1"], n=10**12)


def test_one_macros_budget_is_not_the_nexts(tmp_path: Path) -> None:
    made = words(tmp_path, "{% macro m(w) %}{{ w }}{% endmacro %}")
    for _ in range(3):
        assert len(made.say("m", w="x" * 900_000)) == 900_000
    with pytest.raises(DressblockError, match="it writes more than 1000000 characters"):
        made.say("m", w="x" * 1_000_001)
