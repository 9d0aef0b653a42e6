"""A control that nobody has, made of a folder alone: what the others do each in a way of its own, mixed.

R variables and round brackets, jumps to N-numbers, comments from an exclamation mark
to the end of the line, messages between dollar signs, a star for block delete, an
ampersand before program numbers, whole numbers in place of decimal points, keywords,
another dwell word, a number on every line.
"""

from __future__ import annotations

from pathlib import Path

NAME = "mixed"

CONTROL = """
title = "R variables, GOTO n, exclamation marks, numbers in the last place"
about = "Made up for a test."
file_suffix = ".cnc"
cancels = ["compensation.off", "cycle.off", "rotation.off"]
alone = ["TURNED"]

[lexis]
comments = [["!", ""]]
messages = [["$", "$"]]
block_delete = "*"
comment_letters = "A-Z0-9 .,:=+*/<>-"
comment_length = 80
tape_mark = ""
number_step = 10
line_ending = "\\r\\n"

[numbers]
point = "scaled"
mm = { length = 3, feed = 1 }
inch = { length = 4, feed = 2 }
angle = 3
seconds = 2
significant = 10

[dwell]
word = "H"
unit = "s"

[groups]
units = { mm = "G71", inch = "G70" }
distance = { absolute = "G90", incremental = "G91" }
feed_mode = { per-minute = "G98", per-revolution = "G99" }
plane = { xy = "G17", zx = "G18", yz = "G19" }
motion = { rapid = "G0", feed = "G1" }
compensation = { off = "G40", left = "G41", right = "G42" }
cycle = { off = "G80", drill = "G81" }
rotation = { off = "TURNED" }
work_offset = { G54 = "G54", G55 = "G55", G56 = "G56", G57 = "G57" }

[defaults]
work_offset = "G54"

[once]
machine_frame = "MACHINE"
dwell = "G7"

[codes]
spindle_cw = "M13"
spindle_ccw = "M14"
spindle_off = "M15"
coolant_on = "M18"
coolant_off = "M19"
stop = "M0"
end = "M2"
synchronise = "STANDSTILL"

[variables]
sigil = "R"
brackets = ["(", ")"]
bare_expressions = true
operators = [
  { "=" = "eq", "#" = "ne", "<" = "lt", "<=" = "le", ">" = "gt", ">=" = "ge" },
  { "+" = "add", "-" = "subtract" },
  { "*" = "multiply", ":" = "divide" },
]
functions = { "RND" = "round", "INT" = "floor", "RUP" = "ceil" }

[flow]
program_letter = "&"
also_program_letter = ""
jumps = { condition = "IF", goto = ["GOTO"] }
subprograms = { call = "G65", number_word = "P", ends = "M97" }
"""

WORDS = """
{% macro comment(text) %}{{ "! " ~ text }}{% endmacro %}

{% macro modes(words) %}{{ words | join("\n") }}{% endmacro %}

{% macro grouped(value) %}({{ value }}){% endmacro %}

{% macro divide(left, right) %}{{ left }}:{{ right }}{% endmacro %}

{% macro variable(number) %}R{{ number }}{% endmacro %}

{% macro let(number, value, remark) %}R{{ number }}={{ value }} {{ remark }}{% endmacro %}

{% macro rounded(how, value) %}{{ {"round": "RND", "floor": "INT", "ceil": "RUP"}[how] }}({{ value }}){% endmacro %}

{% macro compared(op, left, right) %}
{{ left }} {{ {"lt": "<", "le": "<=", "eq": "=", "ne": "#", "ge": ">=", "gt": ">"}[op] }} {{ right }}
{% endmacro %}

{% macro when(condition, label, after, body) %}
IF ({{ condition }}) GOTO {{ label }}
GOTO {{ after }}
N{{ label }}
{{ body }}
N{{ after }}
{% endmacro %}

{% macro guard(condition, message, label, after, body, stop, ending, number) %}
IF ({{ condition }}) GOTO {{ after }}
N{{ label }} {{ "$" ~ message ~ "$" }}
{{ stop }}
GOTO {{ label }}
N{{ after }}
{{ body }}
{% endmacro %}

{% macro program_start(number, title) %}
&{{ number }}
{% endmacro %}

{% macro program_end(number) %}{% endmacro %}

{% macro subprogram_start(number, title) %}
&{{ number }}
{% endmacro %}

{% macro subprogram_end(number) %}
M97
{% endmacro %}

{% macro subprogram_call(number) %}
G65 P{{ number }}
{% endmacro %}
"""


def made_in(folder: Path) -> Path:
    """``folder``, with the control in it."""
    (folder / NAME).mkdir(parents=True)
    (folder / NAME / "control.toml").write_text(CONTROL)
    (folder / NAME / "words.j2").write_text(WORDS)
    return folder
