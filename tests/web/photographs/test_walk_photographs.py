"""Walk 9 in a browser: an online client's three photographs, one refused with its reason, two that disagree."""

import base64
import io
import re

import numpy as np
import pytest
from PIL import Image
from playwright.sync_api import expect

from tests.support.in_browser import fits, violations
from tests.support.photo_studio import PORTRAITS, cut, portrait
from tests.web.conftest import WIDTHS

CLIENT, SERIES = "/people/2/photographs", PORTRAITS.parent / "series"
pytestmark = pytest.mark.browser


def flushed():
    """The same face much redder beside the same card, as make-up or a filter would have it."""
    rgb = np.array(Image.open(io.BytesIO(portrait())), dtype=float)
    x, y, w, h = 230, 230, 200, 340  # the face and the neck; the card lies beside
    face = rgb[y : y + h, x : x + w]
    face[..., 0] = np.minimum(face[..., 0] * 1.16, 250)
    face[..., 2] *= 0.8
    out = io.BytesIO()
    Image.fromarray(rgb.astype(np.uint8)).save(out, "JPEG", quality=96, subsampling=0)
    return out.getvalue()


DROP = """([name, bytes]) => {
  const dropped = new DataTransfer();
  dropped.items.add(new File([Uint8Array.from(atob(bytes), (one) => one.charCodeAt(0))], name, { type: "image/jpeg" }));
  const event = (kind) => new DragEvent(kind, { bubbles: true, cancelable: true, dataTransfer: dropped });
  const place = document.querySelector("h1");  // anywhere on the page
  place.dispatchEvent(event("dragover"));
  place.dispatchEvent(event("drop"));
}"""


def put_in(page, content, name, dropped=False):
    page.goto(CLIENT)
    page.get_by_text("Change this, or the sitting").click()
    page.get_by_label("Beside the face").select_option("classic24")  # the studio's latest may have had another
    if dropped:
        page.evaluate(DROP, [name, base64.b64encode(content).decode()])
    else:
        file = {"name": name, "mimeType": "image/jpeg", "buffer": content}
        page.get_by_label("Shoot, choose a file").set_input_files(file)
    page.wait_for_url(re.compile(r"/photographs/\d+$"))
    expect(page.locator("#reading")).to_be_visible(timeout=40_000)  # the script waits for it and shows it by itself
    return page.url


def test_an_online_client_on_a_phone(page, studio):
    page.set_viewport_size({"width": 390, "height": WIDTHS[390]})
    refused = put_in(page, cut("p4b.jpg"), "one.jpg")
    expect(page.get_by_role("status").first).to_contain_text("Refused: please take it again")
    expect(page.get_by_role("status").first).to_contain_text("Hold the card flat beside the jaw")
    first = put_in(page, portrait(), "two.jpg")
    expect(page.get_by_role("heading", name="✓ Measured")).to_be_visible()
    put_in(page, flushed(), "three.jpg", dropped=True)
    page.goto(CLIENT)
    told = page.get_by_role("region", name="The photographs disagree")
    expect(told).to_contain_text("open between neighbours")
    expect(told).to_contain_text("Come to the studio, or repeat them by a window")
    expect(page.locator(".shots li")).to_have_count(3)
    expect(page.locator(".shots")).to_contain_text("▲ refused")
    small = page.locator(".shots img").first
    small.scroll_into_view_if_needed()  # it is fetched when it is about to be seen
    expect(small).not_to_have_js_property("naturalWidth", 0)
    for address in (CLIENT, first, refused):
        for width, height in WIDTHS.items():
            page.set_viewport_size({"width": width, "height": height})
            page.goto(address)
            assert fits(page), (address, width)
            assert violations(page) == [], (address, width)

    # A region is drawn around by taps and one is left out by its box; both are gone when it has been measured again.
    page.set_viewport_size({"width": 390, "height": WIDTHS[390]})
    page.goto(first)
    lips = page.get_by_role("link", name="lips", exact=True)
    lips.hover()  # one region at a time: pointed at, by the keyboard, or on the face
    expect(page.locator(".region.seen")).to_have_count(1)
    expect(page.locator("strong[data-name]")).to_have_text("Lips")
    lips.focus()
    page.keyboard.press("Shift+Tab")
    expect(page.locator(".region.seen")).to_have_count(1)
    expect(page.locator("strong[data-name]")).not_to_have_text("Lips")
    page.locator("g.region", has_text="forehead").click()
    expect(page.locator("strong[data-name]")).to_have_text("Forehead")
    page.get_by_text("Leave something out").click()
    page.get_by_role("button", name="Draw around something").click()
    shot = page.locator(".shot")
    box = shot.bounding_box()
    assert box
    for x, y in ((0.40, 0.27), (0.50, 0.27), (0.50, 0.34), (0.40, 0.34)):
        shot.click(position={"x": x * box["width"], "y": y * box["height"]})
    page.get_by_role("button", name="Close the outline").click()
    expect(page.get_by_text("1 outline drawn")).to_be_visible()
    page.get_by_label("lips").check()
    page.get_by_role("button", name="Measure again").click()
    expect(page.get_by_label("lips")).to_be_checked(timeout=40_000)
    page.get_by_text("Numbers", exact=True).click()
    expect(page.get_by_role("row", name="lips")).to_contain_text("left out")
    expect(page.get_by_label("lips")).to_be_checked()
    assert page.locator(".shot polygon.drawn").count() == 1
    page.get_by_text("Erase this photograph").click()
    page.get_by_role("button", name="Erase it for good").click()
    expect(page.get_by_text("The photograph is erased.")).to_be_visible()
    expect(page.locator(".shots li")).to_have_count(2)


def test_two_cloths_in_turn(page):
    page.goto("/people/5/series/photographs")
    page.get_by_label("Cloth A").fill("D002")
    page.get_by_label("Cloth B").fill("D001")
    names = ("a1.jpg", "b2.jpg", "a3.jpg", "b4.jpg")
    files = [
        {"name": f"{9 + i}.jpg", "mimeType": "image/jpeg", "buffer": (SERIES / name).read_bytes()}
        for i, name in enumerate(names)
    ]
    page.get_by_label("New photographs").set_input_files(files)
    page.get_by_role("button", name="Measure the series").click()
    page.wait_for_url(re.compile(r"/series/\d+$"))
    expect(page.get_by_role("heading", name="D001 changes: chin, ")).to_be_visible(timeout=60_000)
    address = page.url
    for width, height in WIDTHS.items():
        page.set_viewport_size({"width": width, "height": height})
        page.goto(address)
        assert fits(page), width
        assert violations(page) == [], width
