"""The page as HTML: whole in itself, well built, legible, and the same content as the text."""

from __future__ import annotations

import re
from collections import Counter
from html import escape

import pytest
from benches import WARNING, Page, plain, program, variants

from gen.base.languages import cautions, languages
from gen.base.places import data_folder
from gen.control.options import Options
from gen.control.render import clean
from gen.control.seal import blocks
from gen.paper.charts.plot import BROAD, FLAT, FULL, LOW, SMALL
from gen.paper.columns import LINE_WIDTH
from gen.paper.sheet import sheet
from gen.paper.sheet.values import values
from gen.plan.node import Guard, walk

PROGRAMS = variants()
HOSTILE = "<script>alert(1)</script> {{ 7 * 7 }} {% raw %} &amp; \"'"


@pytest.fixture(params=PROGRAMS)
def name(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_nothing_is_fetched_and_nothing_runs(name: str) -> None:
    html = sheet(PROGRAMS[name]).html
    page = Page(html)
    assert {tag for tag, _ in page.tags}.isdisjoint({"script", "link", "img", "iframe", "object", "embed", "base"})
    for _, attributes in page.tags:
        assert not {key for key in attributes if key.startswith("on") or key in ("src", "href", "srcset", "action")}
    assert not re.search(r"url\(|@import|https?:|//[a-z]", html)


def test_the_page_is_built_for_every_reader(name: str) -> None:
    page = Page(sheet(PROGRAMS[name]).html)
    assert page.html.startswith("<!DOCTYPE html>")
    assert ("html", {"lang": "en"}) in page.tags
    assert PROGRAMS[name].dress.recipe.title in page.title
    counts = Counter(tag for tag, _ in page.tags)
    assert counts["h1"] == counts["main"] == 1
    assert counts["article"] == counts["header"] == 2  # a page each
    assert counts["h2"] >= 12
    heads = [attributes.get("scope") for tag, attributes in page.tags if tag == "th"]
    assert heads
    assert set(heads) <= {"row", "col"}


def test_both_forms_say_the_same(name: str) -> None:
    made = sheet(PROGRAMS[name])
    lines = [line for line in made.text.splitlines() if not re.fullmatch(r"-+", line)]
    lines = [re.sub(r"^(- |\d+\. )", "", line).replace("_", "") for line in lines]
    text, page = Counter(" ".join(lines).split()), Counter(Page(made.html).text.split())
    # the text begins with "Set-up sheet:", on the page that stands in the window's title
    assert text - page == Counter(["Set-up", "sheet:"])
    assert page - text == Counter()


def test_no_line_of_the_text_is_too_long(name: str) -> None:
    made = sheet(PROGRAMS[name]).text
    assert max(len(line) for line in made.splitlines()) <= LINE_WIDTH == 100
    assert "\t" not in made


def test_equal_programs_give_equal_sheets(name: str) -> None:
    assert sheet(PROGRAMS[name]) == sheet(variants()[name])


def test_text_from_files_is_shown_and_never_obeyed() -> None:
    made = sheet(program({"title": HOSTILE, "wheel.name": HOSTILE}, {"title": HOSTILE}, warnings=(HOSTILE,)))
    page = Page(made.html)
    assert "script" not in {tag for tag, _ in page.tags}
    assert "<script" not in made.html
    assert made.html.count(escape("<script>")) == 10  # window title, 2 headings, machine, wheel, warning, 4 drawings
    assert plain(page.text).count(HOSTILE) == plain(made.text).count(HOSTILE) == 5
    assert HOSTILE in page.title


# The cautions of the design's section 9, in its order: a word or two that only that caution holds.
CAUTIONS = [
    "Guard closed and interlocks working",
    "out of the wheel's plane",
    "eye and hearing protection",
    "free of cracks",
    "fully clamped",
    "stopped and locked out",
    "air vented",
    "newly mounted wheel up to speed first, guard closed",
    "maximum speed marked",
    "stick held off, reduced override, single block (timed feeder: air off instead)",
    "enter diameter, gauge and length again",
    "twice",
    "guarded, power-fed dresser",
    "stick held in the hand",
    "Coolant on the stick before contact",
    "extraction when dry",
    "fire risk",
    "Carbide and cobalt dust",
    "health hazard",
    "jump in sound or power: retract",
    "not workpiece, fixture or offsets",
    "machine and wheel makers' instructions, local codes and a qualified person",
]


def test_every_caution_is_in_both_forms(name: str) -> None:
    made = sheet(PROGRAMS[name])
    for form in (plain(Page(made.html).text), plain(made.text)):
        below = form[form.index("Cautions") :]
        for words in CAUTIONS:
            assert words in below
        for caution in cautions():
            assert caution["long"] in below


def in_order(text: str, words: list[str]) -> None:
    places = [text.index(one) for one in words]
    assert places == sorted(places)


def test_the_prove_out_is_in_the_order_in_which_it_is_safe(name: str) -> None:
    made = sheet(PROGRAMS[name])
    for form in (plain(made.text), plain(Page(made.html).text)):
        steps = form[form.index("3 Prove out") : form.index("4 Stop and retract")]
        before = "Turn the feeder's air OFF and vent it" if name == "timed" else "Close the guard, turn single block on"
        looked = [
            "Set the stand-off"
            if name in ("timed", "incremental")
            else "Read the registers"
            if PROGRAMS[name].by_registers
            else "those measured in 1",
            before,
            "Load program",
            "axes go to",
            "through the window, guard closed",
            "coolant hits",
        ]
        # air comes last, with the spindle locked out and no stick in the holder
        last = ["lock it out. Take the stick out, close the guard, turn the air on"]
        last.append("Turn the air off and vent it; clamp the stick")
        in_order(steps, looked + (last if name == "timed" else ["turns back", "feed override back to 100 %"]))


def test_the_prove_out_says_how_far_off_it_stays_and_that_its_last_move_is_no_jump() -> None:
    text = plain(sheet(program()).text)
    # held off: 5 mm and half a millimetre of stick more than the clearance of 4 before a new wheel and a full stick;
    # 4 mm of clearance and 8 mm of plunge at 5 mm/s
    assert "turns back 9.5 mm short of the wheel, straight, toward U−. Its last move to the wheel takes 2.4 s" in text
    assert "toward U+" in plain(sheet(PROGRAMS["inch"]).text)


def test_a_dry_dress_asks_for_extraction_instead_of_coolant() -> None:
    made = sheet(program({"dress.coolant": False})).text
    assert "The dress is dry: the extraction runs." in made
    assert "coolant hits" not in made


def test_there_is_room_to_write(name: str) -> None:
    made = sheet(PROGRAMS[name])
    size = "G" if PROGRAMS[name].dress.first.face else "D"
    page = Page(made.html)
    assert ["Date", "Name", size, "L", "Power before", "Power after", "Remarks"] in page.rows
    assert page.rows.count([""] * 7) == made.text.count(f"\n{'_' * 8} ") == 5
    # every value to enter or measure has an empty box
    boxes = [row for row in page.rows if row and "" in row[1:]]
    assert len(boxes) >= len(PROGRAMS[name].dress.wheels) + 1
    assert not re.search(r"20\d\d-\d\d|\d\d:\d\d", made.text)


def test_warnings_are_shown_and_other_sheets_have_no_such_part() -> None:
    made = sheet(program(warnings=(WARNING,)))
    assert "This control" + WARNING.removeprefix("this control") in plain(made.text)
    assert "This control" + WARNING.removeprefix("this control") in plain(Page(made.html).text)
    assert "Warnings" not in sheet(program()).text


def test_colours_are_grey_and_contrast_is_enough() -> None:
    # WCAG 2.1, 1.4.3: (L1 + 0.05)/(L2 + 0.05) ≥ 4.5; luminance of a grey c/255 is ((c + 0.055)/1.055)^2.4
    css = (data_folder("templates") / "sheets" / "sheet.css").read_text()
    assert "background: #fff" in css
    colours = re.findall(r"(?<![-a-z])color: #([0-9a-f]+)", css)
    assert colours
    for colour in colours:
        channels = {int(2 * digit, 16) for digit in colour}
        assert len(channels) == 1  # grey: no meaning is carried by a hue
        grey = channels.pop() / 255
        luminance = ((grey + 0.055) / 1.055) ** 2.4 if grey > 0.04 else grey / 12.92
        assert 1.05 / (luminance + 0.05) >= 4.5


def test_no_type_is_smaller_than_nine_points_on_the_first_page() -> None:
    css = (data_folder("templates") / "sheets" / "sheet.css").read_text()
    rules = re.findall(r"([^{}]+)\{([^{}]*)\}", css)
    points = {
        float(size)
        for where, what in rules
        if ".back" not in where
        for size in re.findall(r"font(?:-size)?: ([\d.]+)pt", what)
    }
    assert min(points) >= 9
    assert not re.search(r"font-size: 0?\.\d+em", css)
    for size in (FULL, SMALL, LOW, BROAD, FLAT):
        assert size.type >= 9


def test_every_language_says_every_caution_in_both_lengths() -> None:
    assert languages() == ["de", "en"]
    english = cautions("en")
    for language in languages():
        there = cautions(language)
        assert [(bool(one["short"]), bool(one["long"])) for one in there] == [
            (bool(one["short"]), bool(one["long"])) for one in english
        ]
        assert len({one["short"] for one in there}) == len(there) == 12


# Common trade words, from memory; each stands for a caution of the design's section 9, in its order.
CAUTIONS_DE = [
    "Schutzhaube geschlossen, Verriegelungen",
    "nicht in der Scheibenebene",
    "Augen- und Gehörschutz",
    "nicht rissig",
    "fest gespannt",
    "gegen Wiedereinschalten gesichert",
    "drucklos",
    "Neu aufgespannte Scheibe zuerst bei geschlossener Haube, abseits stehend",
    "Höchstgeschwindigkeit auf der Scheibe",
    "Stein abgerückt, Override klein, Einzelsatz (zeitgesteuerte Schärfeinheit: stattdessen Druckluft aus)",
    "Durchmesser, Planmaß und Länge neu eingeben",
    "zweimal",
    "angetriebene Schärfeinheit",
    "Nie für einen Stein in der Hand",
    "Kühlmittel auf den Stein, bevor er berührt",
    "Absaugung",
    "Brandgefahr",
    "Hartmetall und Kobalt",
    "gesundheitsschädlich",
    "Springt Geräusch oder Leistung: zurückziehen",
    "nicht Werkstück, Spannmittel oder Nullpunkte",
    "Hersteller von Maschine und Scheibe, örtliche Vorschriften und eine Fachkraft",
]


def test_the_second_language_has_every_caution_and_no_english(name: str) -> None:
    made = sheet(PROGRAMS[name], "de")
    for form in (plain(Page(made.html).text), plain(made.text)):
        below = form[form.index("Warnhinweise") :]
        for words in CAUTIONS_DE:
            assert words in below
    page = Page(made.html)
    assert ("html", {"lang": "de"}) in page.tags
    shop_s_own = PROGRAMS[name].dress
    text = f"{page.text} {page.drawn}"
    for own in (shop_s_own.recipe.title, shop_s_own.machine.title, PROGRAMS[name].dialect.control.title):
        text = text.replace(own, "")
    for wheel in shop_s_own.recipe.wheels:
        text = text.replace(wheel.name, "")
    for message in values(PROGRAMS[name]).messages:  # those of the program, which are English on every control
        for said in message.texts:
            text = text.replace(said, "")
    english = set(re.findall(r"\b(?:the|and|with|wheel|stick|feed|spindle|dress|new|worn|to|at|of)\b", text.lower()))
    assert english == set()


def test_numbers_are_the_same_in_every_language_but_for_their_decimal_mark(name: str) -> None:
    pages = {language: Page(sheet(PROGRAMS[name], language).html) for language in languages()}
    # with its heads left out, every cell of the tables of numbers is a number with its unit
    cells = {
        language: [cell for row in page.rows for cell in row if re.fullmatch(r"−?[\d.,]+ (mm|mm/min|in)", cell)]
        for language, page in pages.items()
    }
    assert [cell.replace(",", ".") for cell in cells["de"]] == cells["en"]
    assert len(cells["en"]) > 10
    assert not re.search(r"\d\.\d+ (?:mm|in|s|%|m/s)", f"{pages['de'].text} {pages['de'].drawn}")


def test_drawings_are_on_the_sheet_each_with_its_text_alternative(name: str) -> None:
    for language in languages():
        page = Page(sheet(PROGRAMS[name], language).html)
        drawings = [attributes for tag, attributes in page.tags if tag == "svg"]
        ids = {attributes["id"] for tag, attributes in page.tags if tag in ("title", "desc") and "id" in attributes}
        assert len(drawings) == 4
        for drawing in drawings:
            assert drawing["role"] == "img"
            assert set(drawing["aria-labelledby"].split()) <= ids
        assert len(ids) == 2 * 4


def test_a_drawing_says_whether_it_is_to_scale(name: str) -> None:
    drawn = plain(Page(sheet(PROGRAMS[name]).html).drawn)
    assert re.search(r"(stick touches|wheel's face|stick and wheel)\. Upper drawing not to scale\.", drawn)
    assert re.search(r"Drawn for [DG] .+?(mm|in)\. (The wheel's face .*?\. )?(To scale|Not to scale: plunge)", drawn)


def test_the_strip_cannot_mislead() -> None:
    page = Page(sheet(PROGRAMS["registers"]).html)
    assert page.figure("Spindle, new → worn") == "3056 → 3820 rpm, 20 m/s"
    assert page.figure("Dress every") == "6 parts"
    assert page.figure("Overrides") == "LOCKED no effect in the dress"
    free = Page(sheet(program({}, {"codes": {"override_lock": "", "override_free": ""}})).html)
    assert free.figure("Feed override") == "80 – 120 % not locked; spindle 100 %"
    once = Page(sheet(PROGRAMS["numbers"]).html)
    assert once.figure("Spindle") == "3472 rpm, 20 m/s"
    assert once.figure("Dress") == "ONCE then make a new program"
    # at a marking of 22 m/s the worn wheel turns 3361 rpm as the new one, and its feed falls with its speed
    capped = Page(sheet(program({"wheel.max_speed": "22 m/s"})).html)
    assert capped.figure("Spindle, new → worn") == "3056 → 3361 rpm, 20 → 17.6 m/s"
    assert capped.figure("Plunge feed, new → worn") == "300 → 264 mm/min"
    feeder = Page(sheet(PROGRAMS["timed"]).html)
    assert feeder.figure("Valve, stick in contact") == "300 mm/min ± 5 %, feeder on for 2.4 s"
    assert feeder.figure("Dress every") == "6 parts, then set the stand-off by hand"
    opening = program({"dress.after_truing": {"plunge": "3 mm"}}, options=Options(after_truing=True))
    made = Page(sheet(opening).html)
    assert made.figure("Dress") == "ONCE after truing"
    assert "FIRST OPENING AFTER TRUING" in made.text
    assert "opening-after-truing.ngc" in made.text


def test_program_prove_out_file_and_seal_stand_at_the_top() -> None:
    made = program()
    (block,) = blocks(made.text.splitlines())
    seal = " ".join(re.findall("....", block.stated))
    assert f"program 7101 · prove-out 7601 · file opening.ngc · seal {seal}" in plain(sheet(made).text)


def test_every_message_of_the_program_is_told_with_what_to_do(name: str) -> None:
    made = PROGRAMS[name]
    told = plain(Page(sheet(made).html).text)
    said = told[told.index("5 Messages") : told.index("Cautions")]
    guards = [node.message for node in walk(made.plan.nodes) if isinstance(node, Guard)]
    for message in guards:
        whole = clean(message, made.dialect.control)
        # the second of a register is told from where it differs
        assert whole in said or f"… {whole[whole.index('ABOVE') :]}" in said
    assert ("no message of its own" in said) == (not guards)
    if guards:
        assert "enter it in 502, then enter 0 in 504" in said
        assert "Cycle start does not go on" in said


def test_when_to_stop_and_what_the_power_says() -> None:
    page = Page(sheet(PROGRAMS["registers"]).html)
    text = plain(page.text)
    stop = text[text.index("4 Stop and retract") : text.index("5 Messages")]
    # 30 mm left and 8 mm for one dress
    for words in ("feed hold", "straight back, U−", "knocks", "jumps", "misses the stick", "shorter than 38 mm"):
        assert words in stop
    assert "leave the override alone" in stop
    assert page.row("Stays up")[0].startswith("too gentle: a finer stick, then a higher target, then deeper")
    assert "true the wheel" in page.row("Creeps up")[0]


def test_the_first_page_is_for_the_machine_and_the_second_for_programmer_and_maintenance(name: str) -> None:
    text = plain(sheet(PROGRAMS[name]).text)
    parts = [
        "before cycle start",
        "2 Motion",
        "3 Prove out",
        "4 Stop",
        "5 Messages",
        "Cautions",
        "For programmer and maintenance",
    ]
    in_order(text, [*parts, "Margins", "Worked out", "Motion in full", "Log: note"])
