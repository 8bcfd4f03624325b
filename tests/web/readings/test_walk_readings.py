"""Walks 2 and 3 in a browser: a measuring evening by keyboard, and what has become of the cloths since."""

import re

import pytest
from playwright.sync_api import expect

from tenter import Kit
from tests.support.in_browser import at_width, fits, violations

pytestmark = pytest.mark.browser
# Keystroke-level model (Card, Moran and Newell 1980): seconds a key of an average typist, and before each number.
KEY_S, THOUGHT_S = 0.28, 1.35
CLOTHS = Kit.demo().ids[:12]
FADED = "D063"  # held in each of the demo studio's five sittings


def type_reading(page, numbers, direction=""):
    """Type a reading and press Enter; return the seconds that it takes by hand."""
    expect(page.get_by_label("L*", exact=True)).to_be_focused()
    typed = "\t".join((*(f"{value:.1f}" for value in numbers), direction)).rstrip("\t")
    for key in typed:
        page.keyboard.press("Tab" if key == "\t" else key)
    with page.expect_navigation():
        page.keyboard.press("Enter")
    return (len(typed) + 1) * KEY_S + (3 + bool(direction)) * THOUGHT_S


def looked_at(page):
    for width in (1920, 1280, 390):
        at_width(page, width)
        assert fits(page), width
        assert violations(page) == [], width
    at_width(page, 1280)


def own_kit(page, name):
    """Add the demo kit under a name of the test's own, and open its readings."""
    page.goto("/kit/add")
    page.get_by_label("Name of the kit", exact=True).fill(name)
    table = "id,name,L,a,b,illuminant,observer,role,hue_family,undertone\n" + "".join(
        f'{d.id},{d.id},{lab[0]},{lab[1]},{lab[2]},D65,10,"{d.role}",{d.hue_family},'
        f"{'' if d.undertone is None else d.undertone}\n"
        for d, lab in zip(Kit.demo().drapes, Kit.demo().lab, strict=True)
    )
    page.get_by_label("Table of cloths").set_input_files(
        {"name": "kit.csv", "mimeType": "text/csv", "buffer": table.encode()}
    )
    page.get_by_role("button", name="Read the table").click()
    page.wait_for_url(re.compile(r"/kit/\d+$"))
    page.get_by_role("link", name="Readings").click()
    page.wait_for_url(re.compile(r"/readings$"))
    return page.url


def test_a_measuring_evening_of_twelve_cloths_three_times_by_keyboard(workshop_page):
    page = workshop_page
    readings = own_kit(page, "Measured in an evening")
    page.get_by_role("link", name="Enter readings").first.click()
    page.get_by_label("Readings of each cloth").fill("3")
    page.get_by_label("Instrument").fill("meter 3")
    page.get_by_label("L*", exact=True).focus()
    lab = dict(zip(Kit.demo().ids, Kit.demo().lab, strict=True))
    for cloth in CLOTHS:
        for place in range(3):
            expect(page.get_by_label("Cloth", exact=True)).to_have_value(cloth)
            L, a, b = lab[cloth]
            step = 6.0 * (cloth == "D005" and place == 1)  # read once against the pile
            direction = ("against" if place == 1 else "along") if cloth == "D005" else ""
            assert type_reading(page, (L + step, a, b + 0.1 * place), direction) < 15
    expect(page.get_by_label("Cloth", exact=True)).to_have_value("D013")
    looked_at(page)
    page.goto(readings)
    wide = page.locator("section[aria-labelledby=wide]")
    expect(wide.get_by_role("link")).to_have_text(["D005"])
    expect(wide).to_contain_text("pile direction")
    looked_at(page)
    wide.get_by_role("link").click()
    expect(page.get_by_text("meter 3").first).to_be_visible()
    expect(page.locator("section[aria-labelledby=days] li", has_text="against")).to_have_count(1)
    looked_at(page)


def test_a_number_that_cannot_be_is_said_at_its_field_and_the_rest_stays(workshop_page):
    page = workshop_page
    own_kit(page, "Mistyped")
    page.get_by_role("link", name="Enter readings").first.click()
    type_reading(page, (50, 300, 12.5))
    expect(page.locator("#id_a_error")).to_contain_text("a* is from −150 to 150, not 300.0")
    expect(page.get_by_label("b* or h")).to_have_value("12.5")
    looked_at(page)
    page.get_by_label("a* or C*").fill("3")
    page.keyboard.press("Enter")
    expect(page.get_by_role("status")).to_contain_text("D001: 1 reading saved.")


def test_a_year_later_the_faded_cloth_is_named_with_its_pairs_and_sittings(workshop_page):
    page = workshop_page
    page.goto("/kit/1/readings")  # the demo studio's own, which its sittings were on
    lab = dict(zip(Kit.demo().ids, Kit.demo().lab, strict=True))
    ten = [FADED, *CLOTHS[:9]]
    first = "cloth,day,L,a,b\n" + "".join(f"{c},2025-01-10,{lab[c][0]},{lab[c][1]},{lab[c][2]}\n" for c in ten)
    page.get_by_role("link", name="Send a file").click()
    page.get_by_label("File").set_input_files({"name": "a.csv", "mimeType": "text/csv", "buffer": first.encode()})
    page.get_by_role("button", name="Read the file").click()
    expect(page.get_by_role("status")).to_contain_text("10 readings added.")
    for cloth in ten:
        page.goto(f"/kit/1/readings/enter?cloth={cloth}")
        L, a, b = lab[cloth]
        type_reading(page, (L + 5, a * 0.5, b + 2) if cloth == FADED else (L, a, b))
    page.goto("/kit/1/readings")
    changed = page.locator("section[aria-labelledby=changed]")
    expect(changed.locator("li")).to_have_count(2)  # the demo studio's own faded cloth too
    said = "Yellowed, got 5 lighter and lost 5 chroma; 1 pair no longer matches; used in 5 sittings since."
    expect(changed).to_contain_text(f"{FADED} Test Pink W: {said}")
    expect(changed).to_contain_text("D063 and D064 for undertone (now also differs in lightness and chroma)")
    looked_at(page)
    changed.get_by_role("link", name="See D063 beside D064").click()
    expect(page.get_by_role("heading", name="D063 and D064, for undertone")).to_be_visible()
    looked_at(page)
    page.go_back()
    changed.get_by_role("link", name=f"{FADED} Test Pink W").click()
    expect(page.get_by_role("heading", name=FADED)).to_be_visible()
    page.get_by_text("Note a wash").click()
    page.get_by_label("How").fill("machine, 30 °C")
    page.get_by_role("button", name="Save the wash").click()
    expect(page.locator("section[aria-labelledby=washes]")).to_contain_text("machine, 30 °C")
    looked_at(page)
