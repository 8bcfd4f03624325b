"""The phone page in a real browser without a network: the acceptance walk of a colour-blind client at the shop."""

import json
import re
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import BrowserContext, Page, expect

from tenter.consultation.axes import Axis
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.borders import HARDLY_DIFFERS
from tenter.consultation.colours.colour_words import book_words, other_words
from tenter.consultation.colours.colours import Basis
from tenter.consultation.colours.names import known_names
from tenter.consultation.conventions.staple_customs import STAPLES
from tenter.consultation.garments.check import SURE_OF_ROLE, GarmentCheck, NearestColour, Unclear
from tenter.consultation.garments.garment import KnownBy
from tenter.consultation.garments.given import FAMILIES, named_garment
from tenter.consultation.garments.role import ROLES, GarmentAnswer
from tenter.consultation.personal.suitability import Offset
from tenter.consultation.wishes.wishes import Limit, Rule, Wish, Wishes
from tenter.report.on_screen.garment_words import garment_words
from tenter.report.phone_page.asked import HOLDING_RULES, asked_of
from tenter.report.phone_page.content import HOLD_BESIDE_IT, phone_page
from tenter.report.phone_page.drawing import phone_page_html
from tenter.report.phone_page.files import phone_page_file
from tenter.report.reading.content import ClientCard
from tests.support.screen_grid import place_in_grid

pytestmark = pytest.mark.browser
SCREENS = {(390, 844), (360, 640), (1280, 800)}
MOST_BYTES = 300_000


@pytest.fixture
def opened(
    new_context: Callable[..., BrowserContext], page_of: Callable[[str], bytes], tmp_path: Path
) -> Callable[..., tuple[Page, list[str]]]:
    """Open a client's page in a browser without a network, and tell what it asked for and complained of."""

    def open_page(client: str = "K5", **options: object) -> tuple[Page, list[str]]:
        file = tmp_path / "page.html"
        file.write_bytes(page_of(client))
        page = new_context(offline=True, **options).new_page()
        heard: list[str] = []
        page.on("request", lambda request: heard.append(request.url))
        page.on("console", lambda message: heard.append(message.text))
        page.on("pageerror", lambda error: heard.append(str(error)))
        page.goto(file.as_uri())
        assert heard == [file.as_uri()]
        return page, heard

    return open_page


def ask(page: Page, text: str) -> str:
    page.get_by_label("A colour you are looking at").fill(text)
    page.get_by_role("button", name="Ask").click()
    return " ".join(page.get_by_role("status").inner_text().split())


def answers(page: Page, asked: list[str]) -> list[str]:
    """Ask many colours as a client does, in one go, and return all that is said of each."""
    return page.evaluate(
        """asked => asked.map(text => {
            document.getElementById("asked").value = text;
            document.querySelector("#ask form").requestSubmit();
            const said = document.querySelectorAll("[data-part=answer], [data-part=lines] > p");
            return [...said].map(one => one.textContent).join(" ");
        })""",
        asked,
    )


def test_it_is_one_small_file_that_forbids_every_connection(page_of):
    for client in ("K1", "K4", "K5"):
        made = page_of(client)
        html = made.decode()
        assert len(made) < MOST_BYTES
        assert "default-src 'none'; connect-src 'none'" in html
        assert "unsafe" not in html
        assert all(link.startswith("#") for link in re.findall(r"(?:src|href)=[\"']([^\"']*)", html))
        assert not re.search(r"<[^>]*\son\w+\s*=", html[: html.index("<script")])
        assert "http:" not in html
        assert "https:" not in html


def test_colour_blind_at_the_shop(opened):
    """Offline, typed, answered in words at once; nothing is told by colour alone; nothing was asked of anybody."""
    page, heard = opened(viewport={"width": 390, "height": 844}, forced_colors="active")
    said = ask(page, "Mustard")
    assert re.search(r"mustard: .*(wear|kept|told)", said, re.IGNORECASE)
    assert re.search(r"(cool|warm|undertone)", said)
    assert re.search(r"(dark|light|depth)", said)
    assert re.search(r"(soft|bright|clarity)", said)
    assert "Confidence" in said or "can't be told" in said
    for band in page.locator(".band").all():
        assert band.locator(".name").inner_text()
        assert re.search(r"\w+", band.locator(".looks").inner_text())
        assert re.search(r"(seen on you|predicted|chosen)", band.locator(".known").inner_text())
    assert len(heard) == 1


@pytest.mark.parametrize("client", ["K5", "K2"])
def test_two_hundred_and_more_typed_colours_are_answered_as_python_answers(opened, kept, client):
    page, _ = opened(client)
    one = kept(client)
    grid, _named = asked_of(one.palette, one.known, np.array([[50.0, 0.0, 0.0]]), np.ones((1, 3)))
    own = (*one.palette.colours, *one.palette.borrowed)
    codes = [tuple(int(v) for v in rgb) for rgb in np.random.default_rng(11).integers(256, size=(220, 3))]
    said = answers(page, ["#{:02x}{:02x}{:02x}".format(*rgb) for rgb in codes])
    for rgb, text in zip(codes, said, strict=True):
        assert text == expected(grid, own, place_in_grid(rgb)), rgb
    assert len(set(said)) > 100


def expected(found, own, at: int) -> str:
    """Return what the garment check's own words are for what is known of a colour of the grid."""
    roles = dict(zip(ROLES, map(float, found.chances[at]), strict=True))
    answer = ROLES[found.step[at]] if found.certainty[at] >= SURE_OF_ROLE else GarmentAnswer.CANNOT_TELL
    partners = [own[n] for n in (found.white[at], found.neutral[at], found.near[at]) if n >= 0]
    white, neutral = (own[n] if n >= 0 else None for n in (found.white[at], found.neutral[at]))
    nearest = own[found.nearest[at]]
    check = GarmentCheck(
        answer,
        KnownBy.READING,
        roles=roles,
        off={axis: Offset(*map(float, found.off[at, axis.column])) for axis in Axis},
        nearest=NearestColour(nearest, float(found.apart[at])),
        between=() if answer is GarmentAnswer.NEAR_FACE else tuple(partners),
        goes_with=tuple(c for c in (neutral, white) if c) if answer is GarmentAnswer.NEAR_FACE else (),
        unclear=Unclear.COLOUR_IS_UNSURE if answer is GarmentAnswer.CANNOT_TELL else None,
        held=None if answer is GarmentAnswer.CANNOT_TELL else HOLDING_RULES[found.held[at]],
        seen=nearest if found.apart[at] <= HARDLY_DIFFERS and nearest.basis is Basis.SEEN else None,
    )
    return garment_words(check).text.replace("from the reading", "from a screen’s colour")


def test_every_name_is_known_however_it_is_written(opened, kept):
    page, _ = opened()
    one = kept("K5")
    names = [*known_names(), *other_words(), *book_words(), *FAMILIES, *STAPLES]
    names += [c.name for c in (*one.palette.colours, *one.palette.borrowed)]
    colours = [named_garment(name, one.palette).colours[0] for name in names]
    labs, reach = np.array([c.lab for c in colours]), np.array([c.half_width_90 for c in colours])
    _, named = asked_of(one.palette, one.known, labs, reach)
    said = answers(page, [name.upper().replace("-", " ").replace(" ", "  ").replace("GREY", "GRAY") for name in names])
    assert len(said) >= 800
    known = zip(names, said, named.step, named.certainty, named.apart, strict=True)
    for name, text, step, sure, apart in known:
        answer = ROLES[step] if sure >= SURE_OF_ROLE else GarmentAnswer.CANNOT_TELL
        assert text.startswith(garment_words(GarmentCheck(answer, KnownBy.NAME)).headline), name
        own = float(apart) == 0 or answer is GarmentAnswer.CANNOT_TELL
        assert ("This answer is for a typical one" in text) is not own, name
        assert (HOLD_BESIDE_IT in text) is (answer is GarmentAnswer.CANNOT_TELL)
        assert "instrument" not in text


def test_what_a_client_hates_or_may_not_wear_is_answered_with_what_they_said(new_context, kept, tmp_path):
    one, page = kept("K5"), new_context(offline=True).new_page()
    hated = Wish(HueFamily.PURPLE, "I look ill in purple")
    never = Limit(Rule.NEVER, "My mother was buried in white.", HueFamily.WHITE)
    card, wishes = ClientCard(one.client, "", "", "2026-03-14"), Wishes(hated=(hated,), limits=(never,))
    file = tmp_path / "page.html"
    file.write_bytes(phone_page_file(card, one.palette, one.known, wishes))
    page.goto(file.as_uri())
    told = dict(zip(asked := ["lavender", "#8040a0", "snow", "navy", "#00a000"], answers(page, asked), strict=True))
    left_out = "Left out of your palette at your wish."
    assert all(f"{left_out} I look ill in purple." in told[name] for name in ("lavender", "#8040a0"))
    assert f"{left_out} My mother was buried in white." in told["snow"]
    assert not any(left_out in told[name] for name in ("navy", "#00a000"))


def test_what_it_does_not_know_says_what_to_try(opened):
    page, _ = opened()
    assert "doesn’t know that name" in ask(page, "blurple")
    assert "hex code" in ask(page, "blurple")
    assert re.search(r"Names that it knows are .*navy", ask(page, "darkest navy"))
    assert "doesn’t know" in ask(page, "#12")
    for short, long in (("#abc", "#aabbcc"), ("7f0", "#77ff00")):
        one, other = ask(page, short), ask(page, long)
        assert one == other
    assert "navy" in ask(page, "<b>navy</b>")
    assert page.locator("#ask b").count() == 0
    assert re.search(r"Names that it knows are .*coral", ask(page, "quite coral"))


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("client", ["K4", "K5"])
def test_it_fits_every_screen_and_axe_finds_nothing(opened, client, scheme):
    for width, height in sorted(SCREENS):
        page, _ = opened(client, viewport={"width": width, "height": height}, color_scheme=scheme)
        ask(page, "teal")
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth"), (width, height)
        found = Axe().run(page).response["violations"]
        assert [v["id"] for v in found] == [], (width, [n["html"][:100] for v in found for n in v["nodes"]][:3])


def test_without_script_everything_but_the_question_is_there(opened):
    page, _ = opened(java_script_enabled=False)
    expect(page.get_by_role("heading", level=1)).to_have_text("Warm spring")
    expect(page.get_by_role("button", name="Ask")).to_be_hidden()
    expect(page.get_by_role("link", name="Ask about a colour")).to_be_hidden()
    expect(page.get_by_role("heading", name="What every shop sells")).to_be_visible()
    page.locator("#c3 > .open").click()
    expect(page.get_by_role("link", name="Back to the colours")).to_be_visible()
    page.get_by_role("link", name="Back to the colours").click()
    expect(page.get_by_role("link", name="Back to the colours")).to_be_hidden()


def test_a_colour_fills_the_screen_and_escape_brings_the_page_back(opened):
    page, _ = opened(viewport={"width": 390, "height": 844}, reduced_motion="reduce")
    page.locator("#c2 > .open").click()
    box = page.locator("#c2").bounding_box()
    assert box
    assert (box["width"], box["height"]) == (390, 844)
    page.keyboard.press("Escape")
    expect(page.get_by_role("link", name="Back to the colours")).to_be_hidden()


def test_the_surround_is_the_same_neutral_grey_by_day_and_night(opened):
    grounds = set()
    for scheme in ("light", "dark"):
        page, _ = opened(color_scheme=scheme)
        grounds.add(page.evaluate("getComputedStyle(document.querySelector('#strip')).backgroundColor"))
    assert len(grounds) == 1
    codes = {int(v) for v in re.findall(r"\d+", grounds.pop())}
    assert len(codes) == 1  # no hue


def test_it_is_read_in_the_order_of_the_page(opened):
    page, _ = opened()
    headings = page.locator("h1, h2").all_inner_texts()
    assert headings[:3] == ["Warm spring", "Hold these to a garment", "Ask about a colour"]
    levels = page.evaluate("[...document.querySelectorAll('h1, h2, h3')].map(h => h.tagName)")
    assert levels.count("H1") == 1
    assert json.dumps(levels).index("H1") < json.dumps(levels).index("H2")


def test_a_name_of_any_script_or_of_markup_is_shown_as_it_is(
    new_context: Callable[..., BrowserContext], kept, tmp_path: Path
):
    for name in ("ليلى حداد", "Ngọc Ánh", "王小明", "<script>alert(1)</script>", "A" * 60):
        file = tmp_path / "page.html"
        file.write_bytes(phone_page_html(phone_page(ClientCard(name, "", "", "2026-03-14"), kept("K5").palette)))
        page = new_context(viewport={"width": 360, "height": 640}, offline=True).new_page()
        page.goto(file.as_uri())
        assert page.locator(".who").inner_text() == name
        assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
