"""Words of the `R` controls that nearly every grinding program has: read, or said to be unknown from there on.

What each does is common practice, no source; positions are worked out by hand.
"""

from __future__ import annotations

import pytest

from gen.control.folders import load_control
from gen.plan.step import Aux, Move, Refuse, Spindle, Stop
from gen.reader import Reading, ReadState, read
from judge import ORIGIN

CONTROL = load_control("r-variables")
SAFE = "G710 G90 G94 G17 G40 D0 G0\nTRANS\n"


def reading(text: str) -> Reading:
    return read(SAFE + text + "M30\n", CONTROL, ReadState(positions=ORIGIN))


def xs(found: Reading) -> list[float | None]:
    return [step.to.get("X") for step in found.steps if isinstance(step, Move)]


@pytest.mark.parametrize(
    ("text", "wanted"),
    [
        ("IF R1==0\nX1\nELSE\nX2\nENDIF\nX3\n", [1.0, 3.0]),
        ("IF R1==1\nX1\nELSE\nX2\nENDIF\nX3\n", [2.0, 3.0]),
        ("IF R1==1\nX1\nENDIF\nX3\n", [3.0]),
        ("IF R1==0\nIF R1==1\nX1\nELSE\nX4\nENDIF\nENDIF\n", [4.0]),
        ("IF R1==0 GOTOF THERE\nX1\nTHERE: X5\n", [5.0]),
        ("WHILE R1<2\nR1=R1+1\nX=R1\nENDWHILE\n", [1.0, 2.0]),
        ("FOR R1=2 TO 4\nX=R1\nENDFOR\nX=R1\n", [2.0, 3.0, 4.0, 5.0]),
        ("FOR R1=2 TO 1\nX=R1\nENDFOR\nX9\n", [9.0]),
        ("REPEAT\nR1=R1+1\nX=R1\nUNTIL R1>=2\n", [1.0, 2.0]),
        ("LOOP\nR1=R1+1\nX=R1\nIF R1==2 GOTOF OUT\nENDLOOP\nOUT: X7\n", [1.0, 2.0, 7.0]),
        ("DEF REAL DEPTH=2.5, STEP\nDEF INT COUNT=3\nSTEP=DEPTH*COUNT\nX=STEP\n", [7.5]),
        ("DEF INT COUNT\nCOUNT=2.5\nX=COUNT\n", [None]),
        ("N10 DEF REAL DEPTH=2.5\nN20 HERE: X=DEPTH\n", [2.5]),
        # a name belongs to the program that declares it
        (
            "DEF REAL DEPTH=2\nINNER\nX=DEPTH\nM30\n%_N_INNER_SPF\nPROC INNER\nDEF REAL DEPTH=6\nX=DEPTH\nRET\n",
            [6.0, 2.0],
        ),
        ("L100 P2\nM30\n%_N_L100_SPF\nG91 X1\nG90\nM17\n", [1.0, 2.0]),
        ("X5\nX=IC(2)\nG91 X=AC(1)\nX=IC(1)\n", [5.0, 7.0, 1.0, 2.0]),
        ("TRANS X10\nX1\nATRANS X5\nX1\nTRANS X2\nX1\nTRANS\nX1\n", [11.0, 16.0, 3.0, 1.0]),
        ("ROT Z30\nX1\nTRANS\nY1\nX1\n", [None, None, 1.0]),
        ("LIMS=2000\nX1\n", [1.0]),
        ("G1 X5 RND=2 F100\nY5\nX7 CHF=1\n", [5.0, 5.0, 7.0]),
        ("POS[X]=10 FA[X]=500\nY1\nX2\n", [None, None, 2.0]),
        ("R1=$AA_IM[X]\nX=R1\nX3\n", [None, 3.0]),
        ("$P_UIFR[1,X,TR]=5\nX1\nSUPA X2\n", [None, 2.0]),
        ("G153 X3\n", [3.0]),
    ],
)
def test_positions_are_as_worked_out_by_hand(text: str, wanted: list[float | None]) -> None:
    found = reading(text)
    assert found.unread == []
    assert xs(found) == wanted


def test_a_line_begins_as_the_table_of_its_control_says() -> None:
    lexis = CONTROL.lexis.model_copy(update={"block_delete": "!", "letters": CONTROL.lexis.letters + "!"})
    control = CONTROL.model_copy(update={"lexis": lexis})
    found = read(SAFE + "! N10 DEF REAL DEPTH=2.5\n! N20 HERE: X=DEPTH\nM30\n", control, ReadState(positions=ORIGIN))
    assert xs(found) == [2.5]
    assert found.unread == []


@pytest.mark.parametrize("plain", ["X1\n", "X1\nX2\nX3\nX4\nX5\n"])
def test_behind_a_write_to_a_frame_nobody_knows_where_plain_lines_end(plain: str) -> None:
    found = read(f"G710 G90 G94 G17\nG1 X5 F100\n$P_UIFR[1,X,TR]=5\n{plain}M30\n", CONTROL, ReadState(positions=ORIGIN))
    assert xs(found) == [5.0, *(None for _ in plain.split())]


@pytest.mark.parametrize("text", ["G153 X3\n", "POS[X]=10\n", "$A_OUT[1]=1\n", "G1 X5 RND=2 F100\n", "ROT Z30\n"])
def test_what_is_not_worked_out_is_said_at_its_line(text: str) -> None:
    assert 3 in [first for first, _, _ in reading(text).unmodelled]


@pytest.mark.parametrize("text", ["L9010\n", "MEASURE\n", "CYCLE81(10,2,5)\n", "N10 SETMS(2)\n"])
def test_behind_a_program_kept_elsewhere_nothing_is_known(text: str) -> None:
    found = reading(f"X1\n{text}G0 X2\n")
    assert found.unread == []
    assert xs(found) == [1.0, None]
    assert [line for line, _, _ in found.lost] == [4]


def test_a_heading_begins_a_program_and_a_line_of_its_own_calls_it() -> None:
    text = "%_N_MAIN_MPF\n;$PATH=/_N_MPF_DIR\nG710 G90 G0\nTHERE\nX2\nM30\n%_N_THERE_SPF\nX1\nM17\n"
    found = read(text, CONTROL, ReadState(positions=ORIGIN))
    assert (found.unread, found.lost, xs(found)) == ([], [], [1.0, 2.0])


@pytest.mark.parametrize("name", ["FORM_A", "IFIX", "WHILEAWAY", "UNTILT", "GOTOFAR", "TOOTH"])
def test_a_program_is_called_by_a_name_that_begins_like_another_word(name: str) -> None:
    text = f"G710 G90 G0\n{name}\nX2\nM30\n%_N_{name}_SPF\nX1\nM17\n"
    found = read(text, CONTROL, ReadState(positions=ORIGIN))
    assert (found.unread, found.lost, xs(found)) == ([], [], [1.0, 2.0])


def test_only_the_first_spindle_is_the_one_that_is_meant_without_a_number() -> None:
    found = reading("S1=700 M1=3\nS2=500 M2=4\nM1=5\n")
    assert [(step.rpm, step.direction) for step in found.steps if isinstance(step, Spindle)] == [
        (700, "cw"),
        (0, "off"),
    ]
    assert [step.code for step in found.steps if isinstance(step, Aux)] == ["S2=500", "M2=4"]


def test_a_message_is_shown_and_can_be_taken_away() -> None:
    assert [type(step) for step in reading('MSG("NO STICK")\n').steps] == [Refuse, type(reading("").steps[-1])]
    kept = reading('MSG("NO STICK")\nMSG()\nM0\n')
    assert [type(step) for step in kept.steps][:1] == [Stop]
    assert kept.unread == []


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("ENDIF\n", "no IF is open that ENDIF could belong to"),
        ("IF R1==0\nX1\n", "this IF has no end"),
        ("IF R1==0\nELSE\nELSE\nENDIF\n", "the ELSE of this IF has been already"),
        ("WHILE R1<1\nENDFOR\n", "no FOR is open that ENDFOR could belong to"),
        ("FOR X=1 TO 2\nENDFOR\n", "FOR wants a variable and = behind it"),
        ("DEF STRING[20] NAME\n", "a declaration of this kind is not read"),
        ("DEF REAL LIST[5]\n", "'LIST[5]' is no variable that is read"),
        ("PROC INNER(REAL A)\n", ""),
        ("INNER(3)\nM30\n%_N_INNER_SPF\nX1\nRET\n", "what inner does with the values that it is given is not read"),
        ("G2 X=IC(5) Y0 CR=10\n", "an arc whose words count in ways of their own is not read"),
        ("SUPA X=IC(5)\n", "a word that counts in a way of its own cannot be in machine coordinates"),
        ("X=IC(5\n", "IC wants a bracket behind its value"),
    ],
)
def test_what_is_not_read_is_named(text: str, why: str) -> None:
    assert any(why in entry.why for entry in reading(text).unread)
