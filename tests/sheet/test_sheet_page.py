"""The page as HTML: whole in itself, well built, legible, and the same content as the text."""

from __future__ import annotations

import re
from collections import Counter
from html import escape

import pytest
from benches import WARNING, Page, plain, program, variants

from gen.base.languages import cautions, languages
from gen.base.places import data_folder
from gen.paper.columns import WIDTH
from gen.paper.sheet import sheet

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
    assert counts["h1"] == counts["header"] == counts["main"] == counts["footer"] == 1
    assert counts["h2"] == counts["section"] >= 8
    heads = [attributes.get("scope") for tag, attributes in page.tags if tag == "th"]
    assert heads
    assert set(heads) <= {"row", "col"}


def test_both_forms_say_the_same(name: str) -> None:
    made = sheet(PROGRAMS[name])
    lines = [line for line in made.text.splitlines() if not re.fullmatch(r"-+", line)]
    lines = [re.sub(r"^(- |\[ \] |\d+\. )", "", line).replace("_", "") for line in lines]
    text, page = Counter(" ".join(lines).split()), Counter(Page(made.html).text.split())
    # the text begins with "Set-up sheet:", on the page that stands in the window's title
    assert text - page == Counter(["Set-up", "sheet:"])
    assert page - text == Counter()


def test_no_line_of_the_text_is_too_long(name: str) -> None:
    made = sheet(PROGRAMS[name]).text
    assert max(len(line) for line in made.splitlines()) <= WIDTH == 100
    assert "\t" not in made


def test_equal_programs_give_equal_sheets(name: str) -> None:
    assert sheet(PROGRAMS[name]) == sheet(variants()[name])


def test_text_from_files_is_shown_and_never_obeyed() -> None:
    made = sheet(program({"title": HOSTILE, "wheel.name": HOSTILE}, {"title": HOSTILE}, warnings=(HOSTILE,)))
    page = Page(made.html)
    assert "script" not in {tag for tag, _ in page.tags}
    assert "<script" not in made.html
    assert made.html.count(escape("<script>")) == 7  # window title, heading, machine, wheel, warning, two drawings
    assert plain(page.text).count(HOSTILE) == plain(made.text).count(HOSTILE) == 4
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


def test_the_prove_out_checklist_is_in_both_forms(name: str) -> None:
    made = sheet(PROGRAMS[name])
    assert made.text.count("[ ] ") == 6
    assert made.html.count("<li><i") == 6
    held_off, back = ("held off", "Retract goes") if name != "timed" else ("air OFF", "comes back on hold")
    for words in (
        held_off,
        "Override reduced, single block",
        back,
        "pushes the stick into its seat",
        "L measured again",
    ):
        assert words in plain(made.text)
        assert words in plain(Page(made.html).text)
    assert "Coolant hits the stick" in made.text


def test_a_dry_dress_asks_for_extraction_instead_of_coolant() -> None:
    made = sheet(program({"dress.coolant": False})).text
    assert "[ ] Dry: extraction runs" in made
    assert "Coolant hits" not in made


def test_name_and_date_are_left_to_the_hand(name: str) -> None:
    made = sheet(PROGRAMS[name])
    left = re.findall(r"^(.+?) +_{20,}$", made.text, re.MULTILINE)
    assert {"Set up by, date", "Checked by, date", "Power before a dress", "Power after a dress"} < set(left)
    # every wheel that is measured has a line of its own
    wheels = len(PROGRAMS[name].dress.wheels)
    assert sum(label.startswith(("Measured diameter", "Measured gauge")) for label in left) == wheels
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
    assert len(colours) >= 3
    for colour in colours:
        channels = {int(2 * digit, 16) for digit in colour}
        assert len(channels) == 1  # grey: no meaning is carried by a hue
        grey = channels.pop() / 255
        luminance = ((grey + 0.055) / 1.055) ** 2.4 if grey > 0.04 else grey / 12.92
        assert 1.05 / (luminance + 0.05) >= 4.5


def test_no_type_is_smaller_than_seven_and_a_half_points() -> None:
    css = (data_folder("templates") / "sheets" / "sheet.css").read_text()
    points = [float(size) for size in re.findall(r"font(?:-size)?: ([\d.]+)pt", css)]
    shares = [float(size) for size in re.findall(r"font-size: (0?\.\d+)em", css)]
    assert min(points) >= 7.5
    assert not shares


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
    "ohne Risse",
    "fest gespannt",
    "gegen Einschalten gesichert",
    "drucklos",
    "angegebene Höchstgeschwindigkeit",
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
    english = set(re.findall(r"\b(?:the|and|with|wheel|stick|feed|spindle|dress|new|worn|to|at|of)\b", text.lower()))
    assert english == set()


def test_numbers_are_the_same_in_every_language_but_for_their_decimal_mark(name: str) -> None:
    pages = {language: Page(sheet(PROGRAMS[name], language).html) for language in languages()}
    # with its heads left out, every cell of the tables of numbers is a number with its unit
    cells = {
        language: [cell for row in page.rows for cell in row if re.fullmatch(r"-?[\d.,]+ (mm|mm/min|rpm|in)", cell)]
        for language, page in pages.items()
    }
    assert [cell.replace(",", ".") for cell in cells["de"]] == cells["en"]
    assert len(cells["en"]) > 10
    assert not re.search(r"\d\.\d+ (?:mm|in|s|%|m/s)", f"{pages['de'].text} {pages['de'].drawn}")


def test_drawings_are_on_the_sheet_each_with_its_text_alternative(name: str) -> None:
    # the stick's end is drawn where a dress visits more than one place of it
    lanes = {(bite.wheel, bite.lane) for bite in PROGRAMS[name].dress.bites()}
    wanted = 3 if len(lanes) > 1 else 2
    for language in languages():
        page = Page(sheet(PROGRAMS[name], language).html)
        drawings = [attributes for tag, attributes in page.tags if tag == "svg"]
        ids = {attributes["id"] for tag, attributes in page.tags if tag in ("title", "desc") and "id" in attributes}
        assert len(drawings) == wanted
        for drawing in drawings:
            assert drawing["role"] == "img"
            assert set(drawing["aria-labelledby"].split()) <= ids
        assert len(ids) == 2 * wanted


def test_what_to_watch_and_what_to_do() -> None:
    page = Page(sheet(PROGRAMS["registers"]).html)
    assert page.figure("Override") == "locked no effect in the dress"
    free = Page(sheet(program({}, {"codes": {"override_lock": "", "override_free": ""}})).html)
    assert free.figure("Override").endswith("feed; spindle at 100 %; NOT locked")
    assert "last part before a dress" in page.row("Power")[0]
    assert "within 80 – 120 %" in page.row("Power stays up")[0]
    assert "retract, stop" in page.row("Sound, sparks")[0]
    assert "creeps up" in page.row("True the wheel")[0]
    # 30 mm left and 8 mm for one dress
    assert "shorter than 38 mm" in page.row("Change the stick")[0]
