"""Walk 6 in a browser: the metals disagree with the cloths; one key holds them again, and it clears or stays."""

import re

import pypdfium2
import pytest
from playwright.sync_api import expect

from tenter.consultation.findings.contradictions import ContradictionCause
from tests.support.in_browser import at_bench, at_every_width, fits, held_before, press, reveal, violations

WARM = [("D063 D064", "D063"), ("D067 D068", "D067"), ("D069 D070", "D069"), ("D077 D078", "D077")]
COOL_METAL, SLIP = ("D089 D090", "D090"), ("D065 D066", "D066")
pytestmark = pytest.mark.browser


def revealed(page, studio, *answers):
    """Return the address of a sitting in which these pairs were held and whose verdict is revealed."""
    sitting = held_before(studio, *answers)
    reveal(at_bench(page, sitting))
    return sitting


def listed(page, sitting):
    """Return the entries that disagree, as the evidence lists them."""
    page.goto(f"{sitting}/evidence")
    return page.locator("section[aria-labelledby=contradictions] li")


def causes_of(line):
    """Return the likely causes that a line names."""
    told = line.inner_text().casefold()
    return [cause for cause in ContradictionCause if cause in told]


def hold_again(page, key):
    """Press the listed key of the first, and answer what is then on the bench."""
    proposed = page.locator("a[data-key='1']").get_attribute("href")
    page.keyboard.press("1")
    page.wait_for_url(f"**/{proposed}")
    page.wait_for_selector("#stage[data-busy=no]")
    press(page, key)


def printed(page, sitting):
    """Return the text of the studio’s sheet, without spaces and what breaks a line."""
    with pypdfium2.PdfDocument(page.request.get(f"{sitting}/sheet.pdf?paper=studio").body()) as sheet:
        return squeezed(" ".join(leaf.get_textpage().get_text_range() for leaf in sheet))


def squeezed(text):
    return re.sub(r"[\s\u200b\u0002\ufffe-]", "", text).casefold()


def test_metals_that_disagree_are_one_marked_line_and_stay_after_a_repeat_that_says_otherwise(page, studio):
    sitting = revealed(page, studio, *WARM, COOL_METAL)
    lines = listed(page, sitting)
    expect(lines).to_have_count(1)
    title = lines.locator("strong").inner_text()
    for width in at_every_width(page):
        assert lines.locator("strong").inner_text().startswith("▲ ")  # a mark and words, whatever their colour
        assert "Pewter Foil" in lines.inner_text()
        assert len(causes_of(lines)) >= 2
        assert fits(page), width
        assert violations(page) == [], width
    assert squeezed(title.removeprefix("▲ ")) in printed(page, sitting)

    hold_again(page, "j")  # the sides are exchanged: brass lies on the right now, and is better this time
    lines = listed(page, sitting)
    expect(lines).to_have_count(1)
    assert ContradictionCause.REPEAT in causes_of(lines)
    told = printed(page, sitting)
    for words in (lines.locator("strong").inner_text().removeprefix("▲ "), *causes_of(lines)):
        assert squeezed(words) in told


def test_a_slip_clears_after_a_repeat_that_the_rest_bears_out(page, studio):
    sitting = revealed(page, studio, WARM[0], SLIP, *WARM[1:])
    lines = listed(page, sitting)
    expect(lines).to_have_count(1)
    title = squeezed(lines.locator("strong").inner_text().removeprefix("▲ "))
    assert title in printed(page, sitting)
    hold_again(page, "s")
    expect(listed(page, sitting)).to_have_count(0)
    assert title not in printed(page, sitting)
