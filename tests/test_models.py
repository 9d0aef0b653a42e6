"""Machine and recipe: what they accept, what they refuse, and the sentence that says why."""

from __future__ import annotations

import json
import warnings
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pydantic import BaseModel, ValidationError

from example_files import GONE, MACHINE, RECIPE, machine, recipe, tables
from gen.base.errors import DressblockError, explain
from gen.control.dialect import dialect_for
from gen.shop.agreement import cross_check
from gen.shop.machine import Machine
from gen.shop.recipe import Recipe


def exactly(*values: int | str) -> tuple[Decimal, ...]:
    return tuple(Decimal(value) for value in values)


def complaints(model: type[BaseModel], text: str, changes: dict[str, object]) -> list[str]:
    with pytest.raises(ValidationError) as caught:
        model.model_validate(tables(text, changes))
    return list(explain(caught.value, model).sentences)


def test_the_designs_machine_is_read_as_it_stands() -> None:
    read = machine()
    assert read.axes["U"].travel == exactly(0, 190)
    assert read.axes["U"].max_rapid == 5000
    assert read.axes["Z"].travel == exactly(-20, 220)
    assert read.spindle.speed == exactly(500, 6000)
    assert (read.dresser.datum_position, read.dresser.parked_at, read.dresser.gap) == exactly(260, 0, 4)
    assert (read.dresser.axis, read.dresser.sign, read.dresser.rapids_by_state) == ("U", 1, False)
    assert (read.dresser.coolant_wait, read.dresser.stick_tolerance) == exactly(2, "0.5")
    assert (read.dresser.jaw, read.dresser.inclination) == exactly(0, 0)
    assert read.dresser.per_set_up is None
    assert read.codes == {"coolant_on": "M8", "coolant_off": "M9"}
    assert read.registers is not None
    assert (read.registers.labels, read.registers.units, read.registers.wheel_gauge) == ((9000, 9099), "mm", None)


def test_the_designs_recipe_is_read_as_it_stands() -> None:
    read = recipe()
    assert read.wheel.diameter == exactly(100, 125)
    assert read.wheel.max_speed == 63
    assert read.dress.wheel_speed == 20
    assert (read.form, read.machine, read.dress.lanes) == ("program", None, "all")
    assert read.dress.overlap == 1
    cross_check(read, machine())


def test_defaults_of_the_dress() -> None:
    read = recipe(dress={"speed": "3056 rpm", "plunge": "8 mm"})
    assert (read.dress.aggressiveness, *read.dress.band) == exactly(250, 200, 300)
    assert (read.dress.plunges, read.dress.coolant, read.dress.every_parts) == (1, True, None)


def test_a_block_leaves_the_usual_modes_in_the_words_of_its_control() -> None:
    assert dialect_for(machine(host=GONE, units="inch")).host == ("G20", "G90", "G94", "G17", "G64")
    assert dialect_for(machine(host=GONE)).host == ("G21", "G90", "G94", "G17", "G64")
    assert dialect_for(machine(host=GONE, control="r-variables")).host == ("G710", "G90", "G94", "G17", "G64")
    assert dialect_for(machine(units="inch")).host == ("G21", "G90", "G94", "G17", "G64")


def test_a_path_mode_of_the_shop_keeps_its_tolerance_and_nothing_else_has_one() -> None:
    own = dialect_for(machine(host={"modes": ["G21", "G90", "G94", "G17", "G64 P0.005"]}))
    assert own.host == ("G21", "G90", "G94", "G17", "G64 P0.005")
    assert own.leaves["path"] == "continuous"
    with pytest.raises(DressblockError, match="only a path mode has a tolerance"):
        _ = dialect_for(machine(host={"modes": ["G21 P0.005"]})).leaves


def test_an_incremental_dresser_needs_a_stand_off_and_no_datum() -> None:
    keys = {"dresser__motion": "incremental", "dresser__stand_off": "2 mm", "dresser__datum": GONE}
    read = machine(**keys, dresser__parked=GONE).dresser
    assert read.gap == 2
    assert read.per_set_up == 20
    assert (read.datum_position, read.parked_at, read.needs_length) == (None, None, False)
    often = machine(**keys, dresser__dresses_per_set_up=5).dresser
    assert often.gap == 2
    assert often.per_set_up == 5
    kept, (missing,) = (
        complaints(Machine, MACHINE, {"dresser.motion": "incremental", **changed})
        for changed in ({"dresser.stand_off": "2 mm"}, {"dresser.datum": GONE})
    )
    assert kept == [
        'dresser.datum: only a dresser with a datum has this key; take it out, or write motion = "absolute".'
    ]
    assert missing.startswith("dresser.stand_off: this key is missing; it gives the gap")


def test_rotary_axes_read_degrees_and_keep_the_order_of_at() -> None:
    read = machine(
        axes__B={"travel": ["-10 deg", "100 deg"], "max_feed": "720 deg/min", "max_rapid": "10 rpm"},
        axes__X={"travel": ["0 mm", "9 mm"], "max_feed": "1 m/min", "max_rapid": "1 m/min", "acceleration": "1 m/s2"},
        dresser__at={"X": "3 mm", "B": "90 deg"},
        dresser__offset={"word": "G59", "values": {"U": "1 in", "B": "1 deg"}},
    )
    assert read.axes["B"].max_rapid == 3600
    assert read.axes["X"].acceleration == 1000
    assert list(read.dresser.at.items()) == [("X", Decimal(3)), ("B", Decimal(90))]
    assert read.dresser.offset is not None
    assert read.dresser.offset.values == {"U": Decimal("25.4"), "B": 1}


@pytest.mark.parametrize("key", ["clearance", "datum"])
def test_models_do_not_change(key: str) -> None:
    with pytest.raises(ValidationError, match="frozen"):
        setattr(machine().dresser, key, Decimal(0))


@pytest.mark.parametrize(
    ("key", "value", "sentence"),
    [
        (
            "dresser.feed",
            ["10 mm/min", 400],
            'dresser.feed[1]: read 400, a bare number; a feed needs its unit: "400 mm/min" or "400 in/min".',
        ),
        (
            "dresser.feed",
            ["10 mm/min"],
            'dresser.feed: a list of two values is wanted, such as feed = ["10 mm/min", "400 mm/min"].',
        ),
        (
            "dresser.feed",
            ["1 mm/min"] * 3,
            'dresser.feed: a list of two values is wanted, such as feed = ["10 mm/min", "400 mm/min"].',
        ),
        (
            "dresser.feed",
            "400 mm/min",
            'dresser.feed: a list of two values is wanted, such as feed = ["10 mm/min", "400 mm/min"].',
        ),
        (
            "dresser.feed",
            ["400 mm/min", "10 mm/min"],
            "dresser.feed: the first value is larger than the second; write the smaller one first.",
        ),
        ("dresser.feed", ["0 mm/min", "10 mm/min"], 'read "0 mm/min"; a feed of more than 0 mm/min is wanted here.'),
        (
            "axes.U.travel",
            ["5 mm", "5 mm"],
            "axes.U.travel: both values are the same; the first must be smaller than the second.",
        ),
        ("dresser.clearance", "0 mm", 'dresser.clearance: read "0 mm"; a length of more than 0 mm is wanted here.'),
        (
            "dresser.clearance",
            GONE,
            "dresser.clearance: this key is missing; it gives distance from the earliest contact, mm, "
            'where rapid moves end, such as clearance = "4 mm".',
        ),
        ("dresser.clearence", "4 mm", 'clearence: this key is not known; the nearest known one is "clearance".'),
        ("axes.U.max_fed", "4 mm", 'axes.U.max_fed: this key is not known; the nearest known one is "max_feed".'),
        (
            "spindle.zzz",
            1,
            "spindle.zzz: this key is not known; the keys known here are speed, direction and spin_up.",
        ),
        ("spindle", GONE, "spindle: this table is missing; it gives the spindle's speeds, direction and spin-up time."),
        ("spindle", 5, "spindle: a table is wanted here, with its keys below a line [spindle]."),
        (
            "dresser.kind",
            "slid",
            'dresser.kind: read "slid"; it must be "slide", "table" or "timed"; did you mean "slide"?',
        ),
        ("dresser.kind", "air", 'dresser.kind: read "air"; it must be "slide", "table" or "timed".'),
        ("dresser.datum", GONE, "dresser.datum: this key is missing; it gives the plunge-axis position"),
        ("dresser.parked", GONE, "dresser.parked: this key is missing; it gives the plunge-axis position"),
        ("dresser.stand_off", "2 mm", "dresser.stand_off: only an incremental dresser has this key; take it out, or"),
        ("dresser.dresses_per_set_up", 9, "dresser.dresses_per_set_up: only an incremental dresser has this key"),
        ("dresser.inclination", "61 deg", "an angle of at most 60 deg is wanted here."),
        ("dresser.coolant_wait", "11 min", 'dresser.coolant_wait: read "11 min"; a time of at most 600 s'),
        ("dresser.plunge_axis", "Q", 'dresser.plunge_axis: read "Q"; an axis is one of the letters X, Y,'),
        (
            "dresser.plunge_axis",
            "X",
            "dresser.plunge_axis: axis X is not described; add a table [axes.X] to the machine file, or name U or Z.",
        ),
        ("dresser.lateral_axis", "U", "dresser.lateral_axis: axis U already plunges; the lateral axis must be another"),
        ("dresser.at", {"X": "1 mm"}, "dresser.at.X: axis X is not described"),
        ("dresser.at", {"U": "1 mm"}, "dresser.at.U: this axis plunges and stays parked"),
        ("dresser.at", {"Z": "1 mm"}, "dresser.at.Z: this is the lateral axis, which the recipe's wheel"),
        ("dresser.at", {"B": "1 mm"}, 'dresser.at.B: read "1 mm", a length; an angle is wanted, such as "3 deg".'),
        ("dresser.at", 5, "dresser.at: a table is wanted here, with its keys below a line [dresser.at]."),
        ("dresser.offset", {"word": "G59", "values": {"X": "1 mm"}}, "offset.values.X: axis X is not described"),
        ("dresser.offset", {"word": "G59 M3", "values": {}}, 'offset.word: read "G59 M3", which does not have'),
        ("codes.coolant_on", "M8\nG0 X0", "codes.coolant_on: the text holds a line break or another character"),
        ("codes.coolant_on", Decimal("1.5"), "codes.coolant_on: read 1.5; a code is a word in quotes such as"),
        ("registers.stick_length", 501, "stick_length: register 501 is already used for wheel_diameter"),
        ("registers.in_progress", 590, "in_progress: register 590 lies inside scratch, 590 to 599, and"),
        ("registers.in_progress", 599, "in_progress: register 599 lies inside scratch, 590 to 599, and"),
        ("registers.in_progress", 0, "registers.in_progress: read 0; it must be at least 1."),
        ("registers.in_progress", True, "registers.in_progress: read true; a whole number is wanted"),
        ("registers.stick_length", "502", 'stick_length: read "502"; a whole number is wanted, such as stick_length'),
        ("host.modes", ["G21", "G 90"], 'host.modes[1]: read "G 90", which does not have the right form.'),
        ("host.modes", [], "host.modes: read a list of 0; at least 1 are wanted."),
        ("host.modes", ["G21"] * 31, "host.modes: read a list of 31; at most 30 are possible."),
        ("title", "a\u2028b", "another character that cannot be printed (U+2028); write it on one line"),
        ("title", " ", "title: read an empty text; at least one character is wanted."),
        ("title", "a" * 121, "121 characters long; at most 120 are possible."),
        ("title", 5, 'title: read 5; text in quotes is wanted, such as title = "Bench grinder 2".'),
    ],
)  # fmt: skip
def test_a_machine_file_is_refused_with_one_sentence(key: str, value: object, sentence: str) -> None:
    found = complaints(Machine, MACHINE, {key: value})
    assert len(found) == 1
    assert sentence in found[0]


@pytest.mark.parametrize(
    ("key", "value", "sentence"),
    [
        ("program", 0, "program: read 0; it must be at least 1."),
        ("program", 100_000, "program: read 100000; it must be at most 99999."),
        ("form", "blok", 'form: read "blok"; it must be "program", "block" or "subprogram"; did you mean "block"?'),
        ("wheel.grit", "B64", 'wheel.grit: read "B64", which does not have the right form, such as grit = "D64".'),
        ("wheel.shape", "1A1" * 5, "15 characters long; at most 12 are possible."),
        ("wheel.concentration", 201, "wheel.concentration: read 201; it must be at most 200."),
        ("wheel.concentration", 0, "wheel.concentration: read 0; a number of more than 0"),
        ("wheel.concentration", "100", 'read "100"; a number is wanted, without quotes and without a unit'),
        ("wheel.concentration", Decimal("nan"), "wheel.concentration: read nan, which is not a finite number."),
        ("wheel.concentration", Decimal("1e-99999"), "at most 6 decimals are possible."),
        ("wheel.concentration", Decimal("1e99999"), "a number of more than 0 and at most 1000000 is wanted here."),
        ("wheel.concentration", 10**4000, "read a very large whole number; a number of more than 0"),
        ("wheel.diameter", ["125 mm", "100 mm"], "wheel.diameter: the first value is larger than the second"),
        ("wheel.max_speed", GONE, "wheel.max_speed: the marked maximum is missing; give max_speed"),
        ("wheel.contact", "face", "wheel.gauge: this key is missing; face contact needs the distance from the gauge"),
        ("wheel.gauge", ["3 mm", "4 mm"], "wheel.gauge: only face contact uses a gauge length; take it out"),
        ("wheel.taper", "30.1 deg", "an angle of at most 30 deg is wanted here."),
        ("dress.wheel_speed", GONE, "dress.wheel_speed: the speed is missing; give wheel_speed"),
        ("dress.speed", "3056 rpm", "dress.speed: wheel_speed is given as well; keep one of the two."),
        ("dress.wheel_speed", 20, 'read 20, a bare number; a wheel speed needs its unit: "20 m/s" or "20 ft/min".'),
        ("dress.coolant", "yes", 'dress.coolant: read "yes"; true or false is wanted, without quotes.'),
        ("dress.plunges", 51, "dress.plunges: read 51; it must be at most 50."),
        ("dress.plunges", 0, "dress.plunges: read 0; it must be at least 1."),
        ("dress.band", [300, 200], "dress.band: the first value is larger than the second"),
        ("dress.band", 250, "dress.band: a list of two values is wanted, such as band = [200, 300]."),
        ("dress.overlap", "-1 mm", "a length of at least 0 mm is wanted here."),
    ],
)  # fmt: skip
def test_a_recipe_file_is_refused_with_one_sentence(key: str, value: object, sentence: str) -> None:
    found = complaints(Recipe, RECIPE, {key: value})
    assert len(found) == 1
    assert sentence in found[0]


def test_every_mistake_is_told_at_once() -> None:
    found = complaints(Recipe, RECIPE, {"program": 0, "wheel.width": 10, "dress.plnge": "8 mm", "dress.plunge": GONE})
    assert [line.split(":")[0] for line in found] == ["program", "wheel.width", "dress.plunge", "dress.plnge"]


def test_a_cup_wheel() -> None:
    cup: dict[str, object] = {"wheel__contact": "face", "wheel__gauge": ["40 mm", "46 mm"]}
    assert recipe(**cup).wheel.gauge == exactly(40, 46)
    face = {"wheel.contact": "face", "wheel.gauge": ["40 mm", "46 mm"]}
    assert complaints(Recipe, RECIPE, {**face, "wheel.width": "50 mm"}) == [
        "wheel.width: twice the rim, 100 mm, is not less than the worn diameter, 100 mm; "
        "for face contact this is the rim's radial width."
    ]
    assert recipe(**cup, wheel__width="49.9 mm").wheel.width == Decimal("49.9")
    assert complaints(Recipe, RECIPE, {**face, "wheel.taper": "3 deg"}) == [
        "wheel.taper: only a periphery can be tapered; take it out for face contact."
    ]


NARROW, EQUAL, WIDE = ["9 mm", "25 mm"], ["10 mm", "25 mm"], ["11 mm", "25 mm"]


@pytest.mark.parametrize(
    ("in_recipe", "in_machine", "sentence"),
    [
        ({"wheel.lateral": GONE}, {}, "wheel.lateral: the machine places the stick with axis Z; add the position"),
        ({}, {"dresser.lateral_axis": GONE}, "wheel.lateral: the machine file names no axis for it; add dresser.lat"),
        (
            {"wheel.contact": "face", "wheel.gauge": ["3 mm", "4 mm"]},
            {},
            "wheel.contact: face contact needs registers.wheel_gauge in the machine file",
        ),
        ({}, {"registers.wheel_diameter": GONE}, "wheel.contact: periphery contact needs registers.wheel_diameter"),
        (
            {"dress.aggressiveness": Decimal("300.5")},
            {},
            "dress.aggressiveness: 300.5 is outside dress.band, 200 to 300; change one of the two.",
        ),
        ({"dress.aggressiveness": 199}, {}, "dress.aggressiveness: 199 is outside dress.band"),
        (
            {"stick.section": ["10 mm", "100 mm"]},
            {},
            "stick.section: the stick's height, 100 mm, must be less than the worn wheel's diameter, 100 mm; "
            "the first value is the width, the second the height.",
        ),
        (
            {"stick.section": ["10 mm", "4 in"]},
            {"units": "inch"},
            "the stick's height, 4 in, must be less than the worn wheel's diameter, 3.937 in",
        ),
        ({"wheel.taper": "3 deg"}, {"dresser.inclination": "9 deg"}, "wheel.taper: the machine's dresser.inclination"),
        (
            {"stick.section": WIDE},
            {"dresser.inclination": "9 deg"},
            "stick.section: on this inclined plunge the stick covers 11.137 mm of a wheel of 10 mm",
        ),
        ({"wheel.taper": "3 deg", "stick.section": NARROW}, {}, "stick.section: on a tapered wheel each station"),
        ({"wheel.taper": "3 deg", "stick.section": WIDE}, {}, "dress.lanes: a tapered wheel leaves the stick's end"),
        (
            {"stick.section": NARROW, "dress.overlap": "9 mm"},
            {},
            "dress.overlap: lanes 9 mm wide that overlap by 9 mm never move on; make the overlap smaller.",
        ),
        ({"stick.section": WIDE, "dress.overlap": "10 mm"}, {}, "dress.overlap: lanes 10 mm wide"),
    ],
)
def test_recipe_and_machine_must_agree(
    in_recipe: dict[str, object], in_machine: dict[str, object], sentence: str
) -> None:
    ours = Recipe.model_validate(tables(RECIPE, in_recipe))
    theirs = Machine.model_validate(tables(MACHINE, in_machine))
    with pytest.raises(DressblockError) as caught:
        cross_check(ours, theirs)
    assert len(caught.value.sentences) == 1
    assert sentence in str(caught.value)


@pytest.mark.parametrize(
    ("in_recipe", "in_machine"),
    [
        ({"dress.aggressiveness": 200}, {}),
        ({"dress.aggressiveness": 300}, {}),
        ({"stick.section": ["10 mm", "99.9 mm"]}, {}),
        # 9 mm / cos 25 deg = 9.93 mm of a wheel of 10 mm
        ({"stick.section": NARROW}, {"dresser.inclination": "25 deg"}),
        (
            {"stick.section": EQUAL, "dress.lanes": "one"},
            {"dresser.inclination": "60 deg", "dresser.recentre": "+"},
        ),
        ({"wheel.taper": "30 deg", "stick.section": EQUAL}, {}),
        ({"wheel.taper": "3 deg", "stick.section": WIDE, "dress.lanes": "one"}, {}),
        ({"stick.section": NARROW, "dress.overlap": "8.9 mm"}, {}),
        ({"stick.section": EQUAL, "dress.overlap": "99 mm"}, {}),
        ({"wheel.lateral": GONE}, {"dresser.lateral_axis": GONE}),
        ({"wheel.contact": "face", "wheel.gauge": ["3 mm", "4 mm"]}, {"registers.wheel_gauge": 505}),
        ({"wheel.contact": "face", "wheel.gauge": ["3 mm", "4 mm"]}, {"registers": GONE}),
    ],
)
def test_what_just_fits_is_accepted(in_recipe: dict[str, object], in_machine: dict[str, object]) -> None:
    cross_check(Recipe.model_validate(tables(RECIPE, in_recipe)), Machine.model_validate(tables(MACHINE, in_machine)))


def test_a_file_can_be_named_later_but_only_once() -> None:
    with pytest.raises(DressblockError) as caught:
        cross_check(recipe(wheel__lateral=GONE, dress__aggressiveness=199), machine())
    named = caught.value.within("r.toml")
    assert [line.split(" ")[:2] for line in str(named).splitlines()] == [
        ["r.toml:", "wheel.lateral:"],
        ["r.toml:", "dress.aggressiveness:"],
    ]
    assert (named.file, named.key) == ("r.toml", "wheel.lateral")
    assert str(named.within("other.toml")) == str(named)


def test_bounds_are_not_disagreements() -> None:
    """More feed, speed, travel or stick than there is: those are findings with both numbers, made elsewhere."""
    cross_check(
        recipe(dress__wheel_speed="300 m/s", dress__plunge="900 mm", stick__length="1 mm"),
        machine(dresser__feed=["1 mm/min", "2 mm/min"]),
    )


def every_field(model: type[BaseModel]) -> list[tuple[str, str | None]]:
    schema = model.model_json_schema()
    parts = [schema, *schema["$defs"].values()]
    return [(name, field.get("description")) for part in parts for name, field in part["properties"].items()]


@pytest.mark.parametrize("model", [Machine, Recipe])
def test_every_key_is_described_for_the_schema(model: type[BaseModel]) -> None:
    assert [name for name, description in every_field(model) if not description] == []


def test_schema_defaults_are_what_a_file_would_say() -> None:
    dresser = Machine.model_json_schema()["$defs"]["DatumSlide"]["properties"]
    assert (dresser["coolant_wait"]["default"], dresser["stick_tolerance"]["default"]) == ("2 s", "0.5 mm")
    assert Recipe.model_json_schema()["$defs"]["DressKeys"]["properties"]["band"]["default"] == [200, 300]


def test_a_recipe_written_as_json_reads_back() -> None:
    ours = recipe(wheel__taper="1.25 deg", dress__band=[Decimal("200.5"), 300])
    assert Recipe.model_validate_json(ours.model_dump_json()) == ours


ANYTHING = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text() | st.just("5 mm"),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(), inner, max_size=3),
    max_leaves=5,
)
RECIPE_KEYS = [f"{table}.{key}" for table in ("wheel", "stick", "dress") for key in tables(RECIPE, {})[table]]
MACHINE_KEYS = [
    "axes",
    "axes.U",
    "axes.U.travel",
    "dresser.at",
    "dresser.offset",
    "dresser.feed",
    "codes",
    "registers.scratch",
    "host",
]


@given(st.sampled_from(RECIPE_KEYS + MACHINE_KEYS), ANYTHING)
def test_whatever_stands_there_is_read_or_refused_in_printable_sentences(key: str, value: object) -> None:
    model, text = (Recipe, RECIPE) if key in RECIPE_KEYS else (Machine, MACHINE)
    try:
        model.model_validate(tables(text, {key: value}))
    except ValidationError as error:
        for sentence in explain(error, model, file="x.toml").sentences:
            assert sentence.startswith("x.toml: ")
            assert sentence.isprintable()
            assert sentence.endswith((".", "?"))
            assert "Input should" not in sentence
            assert "pydantic" not in sentence.lower()


def test_a_machine_becomes_json_without_a_warning() -> None:
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        written = json.loads(machine().model_dump_json())
    assert written["dresser"]["clearance"] == "4 mm"
    assert written["axes"]["U"]["travel"] == ["0", "190"]
