"""Where stick and wheel meet: worked out by hand from the motion, on an invented shop.

Contact of the new wheel with the full stick is at 260 - (150 + 62.5) = 47.5 mm.
"""

from __future__ import annotations

from typing import Any

import pytest
from dress_block import Go, Item, Lines, case_of

from changed import changed
from gen.bounds.contacts import Contacts
from gen.plan.node import State
from gen.shop.dress import Dress
from slide_bench import MACHINE, RECIPE, dress_of


def followed(*items: Item, dress: Dress | None = None, state: State | None = None) -> Contacts:
    lines: Lines = {f"line {number}": [item] for number, item in enumerate(items)}
    found = case_of(lines, dress, state).contacts
    assert found is not None
    return found


def depths(contacts: Contacts) -> list[tuple[float, float]]:
    return [(plunge.contact, round(plunge.depth, 6)) for plunge in contacts.plunges]


def test_the_stick_shortens_with_every_plunge() -> None:
    contacts = followed(
        Go("U", 0), Go("U", 55.5, 300), Go("U", 0), Go("U", 55.5, 300), Go("U", 0), Go("U", 58.5, 300), Go("U", 51.5)
    )
    assert depths(contacts) == [(47.5, 8), (55.5, 3)]
    assert contacts.after[1].gap == -8
    assert contacts.after[2].gap == 55.5
    assert contacts.after[3].gap == 0
    assert contacts.after[6].gap == 7
    assert contacts.after[6].cut == 11


def test_one_plunge_in_two_feeds_is_one_and_a_step_back_ends_it() -> None:
    contacts = followed(Go("U", 0), Go("U", 50, 300), Go("U", 55.5, 300), Go("U", 54), Go("U", 57.5, 300))
    assert depths(contacts) == [(47.5, 8), (55.5, 2)]
    assert [(plunge.enters, plunge.leaves) for plunge in contacts.plunges] == [(1, 3), (4, None)]


@pytest.mark.parametrize("sign", ["+", "-"])
def test_every_lane_of_a_wide_stick_is_met_where_it_stands(sign: str) -> None:
    # 16 mm of stick, 10 mm of wheel: at 39.5 and 45.5 the wheel covers 10 mm each, 4 mm of them twice
    dress = dress_of(changed(MACHINE, dresser__lateral_sign=sign), changed(RECIPE, stick__section=["16 mm", "20 mm"]))
    contacts = followed(
        *(Go("Z", 39.5), Go("U", 55.5, 300), Go("U", 0)),
        *(Go("Z", 45.5), Go("U", 55.5, 300), Go("U", 0)),
        *(Go("Z", 39.5), Go("U", 60.5, 300), Go("U", 0)),
        *(Go("Z", 42.5), Go("U", 58.5, 300), Go("U", 0)),
        dress=dress,
    )
    # at last the middle: the 3 mm of the second lane alone still stand at 55.5
    assert depths(contacts) == [(47.5, 8), (47.5, 8), (55.5, 5), (55.5, 3)]
    assert contacts.after[11].cut == 13


def test_every_station_of_a_narrow_stick_cuts_its_whole_end() -> None:
    dress = dress_of(MACHINE, changed(RECIPE, stick__section=["6 mm", "20 mm"]))
    contacts = followed(
        Go("Z", 40.5), Go("U", 55.5, 300), Go("U", 0), Go("Z", 44.5), Go("U", 63.5, 300), Go("U", 0), dress=dress
    )
    assert depths(contacts) == [(47.5, 8), (55.5, 8)]
    assert contacts.after[5].cut == 16


def test_beside_the_stick_there_is_no_contact() -> None:
    contacts = followed(Go("Z", 60), Go("U", 100, 300))
    assert contacts.plunges == ()
    assert contacts.after[1].gap == float("inf")


def test_moving_sideways_into_what_still_stands_is_contact() -> None:
    dress = dress_of(MACHINE, changed(RECIPE, stick__section=["20 mm", "20 mm"]))
    contacts = followed(Go("Z", 60), Go("U", 55.5), Go("Z", 42.5), dress=dress)
    assert [(plunge.enters, plunge.feed) for plunge in contacts.plunges] == [(2, None)]


def test_toward_the_wheel_may_be_minus() -> None:
    machine = changed(MACHINE, dresser__toward_wheel="-", dresser__datum="-60 mm")
    # -60 + (150 + 62.5) = 152.5 mm
    contacts = followed(Go("U", 190), Go("U", 144.5, 300), Go("U", 190), dress=dress_of(machine))
    assert depths(contacts) == [(152.5, 8)]
    assert [stand.gap for stand in contacts.after.values()] == [37.5, -8, 45.5]


def test_an_incremental_slide_meets_the_stick_at_its_stand_off() -> None:
    incremental: dict[str, Any] = changed(
        MACHINE,
        registers=None,
        dresser__motion="incremental",
        dresser__stand_off="3 mm",
        dresser__datum=None,
        dresser__parked=None,
    )
    dress = dress_of(incremental)
    state = State({"wheel_diameter": 125, "stick_length": 150}, {"U": 20.0})
    contacts = followed(
        *(Go("U", 11, 300, frame="incremental"), Go("U", -3, frame="incremental")),
        *(Go("U", 11, 300, frame="incremental"), Go("U", -3, frame="incremental")),
        dress=dress,
        state=state,
    )
    assert depths(contacts) == [(23, 8), (31, 8)]
    assert contacts.after[3].gap == 3
    unknown = followed(Go("U", 11, 300, frame="incremental"), dress=dress, state=State({}))
    assert unknown.plunges == ()
    assert unknown.after[0].gap is None
