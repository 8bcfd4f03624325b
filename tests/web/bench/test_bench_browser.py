"""The bench in a browser: keys alone, taps alone, a server that dies, and two devices on one sitting."""

import pytest
from playwright.sync_api import expect

from tests.support.in_browser import (
    SETTLE_MS,
    at_bench,
    begin,
    choose,
    cloths,
    document,
    fits,
    press,
    tap,
    violations,
    wait_for,
)

pytestmark = pytest.mark.browser
MM = 96 / 25.4  # CSS pixels
LEAST_CAP_MM = 12  # 20 minutes of arc at 2 m
CAP_HEIGHT = """selector => Math.min(...[...document.querySelectorAll(selector)].map(element => {
    const style = getComputedStyle(element), pen = document.createElement("canvas").getContext("2d");
    pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    return pen.measureText("H").actualBoundingBoxAscent;
}))"""


def test_flags_missing_void_own_choice_and_fan_by_keys_alone(page):
    at_bench(page)
    left, right = cloths(page)
    tap(page, "h", "t", "1", "ArrowRight", "w", "Enter")
    expect(page.locator("#noted")).to_have_text(f"half-face view · {left} too warm · {right} blotchy")
    press(page, "k")
    assert f"half-face view; {left} too warm, {right} blotchy" in document(page)["last"]
    page.keyboard.press("r")
    expect(page.locator(".cloth .id").first).to_have_text(right)
    press(page, "j")
    assert document(page)["exchange"] == []
    page.keyboard.press("9")
    press(page, "g")
    assert document(page)["client"] == 1
    gone = cloths(page)[1]
    page.keyboard.press("m")
    press(page, "ArrowRight")
    assert document(page)["missing"] == [gone]
    page.keyboard.press("x")
    press(page, "1")
    assert document(page)["last"] == "entry 3 is void: wrong cloth was lifted"
    choose(page, "D073 D074 D075")
    tap(page, "2", "1", "=", "3")
    press(page, "Enter")
    assert "D074 " in document(page)["last"].split(", then ")[0]
    assert " level with D075 " in document(page)["last"]
    press(page, "u")
    before = cloths(page)
    press(page, "y")
    assert cloths(page) != before
    page.keyboard.press("?")
    expect(page.locator("#keys")).to_contain_text("Another pair")


KEY = """([kind, key]) => document.body.dispatchEvent(
    new KeyboardEvent(kind, { key, code: key, bubbles: true, cancelable: true }))"""
SCAN = """text => { for (const key of [...text, "Enter"]) document.activeElement.dispatchEvent(
    new KeyboardEvent("keydown", { key, bubbles: true, cancelable: true })) }"""


def test_a_scanned_label_is_cloths_to_hold_and_none_of_its_letters_is_an_answer(page):
    at_bench(page)
    page.wait_for_timeout(SETTLE_MS)
    asked = page.locator("#own input[name=cloths]")
    page.evaluate(SCAN, "D038")
    expect(asked).to_have_value("D038 ")
    expect(asked).to_be_focused()
    page.keyboard.type("D039")
    page.keyboard.press("Enter")
    expect(page.locator(".cloth .id")).to_have_text(["D038", "D039"])
    tap(page, "m")  # a label is read as one also where another question stands
    page.evaluate(SCAN, "https://studio.example/kit/D040")
    expect(asked).to_have_value("https://studio.example/kit/D040 ")
    page.keyboard.press("Enter")
    expect(page.locator(".cloth .id")).to_have_text(["D040"])
    assert document(page)["event"] == 0


def test_a_key_that_is_held_answers_at_once_and_one_let_go_of_waits_for_the_rest_of_a_label(page):
    at_bench(page)
    page.clock.install(time=0)
    page.clock.pause_at(3_600_000)
    page.clock.run_for(SETTLE_MS)
    busy = "document.getElementById('stage').dataset.busy"
    page.evaluate(KEY, ["keydown", "k"])
    page.clock.run_for(24)
    assert page.evaluate(busy) == "no"
    page.clock.run_for(2)
    assert page.evaluate(busy) == "yes"
    wait_for(page, 1)
    page.clock.run_for(SETTLE_MS)
    page.evaluate(KEY, ["keydown", "k"])
    page.evaluate(KEY, ["keyup", "k"])
    page.clock.run_for(48)
    assert page.evaluate(busy) == "no"
    page.clock.run_for(4)
    wait_for(page, 2)


@pytest.mark.parametrize("width", [1280, 1920])
def test_the_cloths_are_legible_at_two_metres(page, width):
    at_bench(page)
    page.set_viewport_size({"width": width, "height": 720 if width == 1280 else 1080})
    for part in (".id", ".name", ".place"):
        assert page.evaluate(CAP_HEIGHT, f".cloth {part}") >= LEAST_CAP_MM * MM, part
    assert fits(page)
    assert page.evaluate("document.querySelector('.cloths').getBoundingClientRect().bottom <= innerHeight")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(132, 132, 132)"
    coloured = """() => [...document.querySelectorAll("body, body *")].flatMap(e => {
        const s = getComputedStyle(e); return [s.color, s.backgroundColor, s.borderTopColor];
    }).filter(c => { const [r, g, b] = c.match(/[\\d.]+/g); return r !== g || g !== b; })"""
    assert page.evaluate(coloured) == []


def test_a_bank_card_held_to_the_screen_sets_the_millimetre(page):
    page.goto("/account/card")
    page.locator("#card-width").fill("428")
    card = page.locator("#card").bounding_box()
    assert (card["width"], card["height"]) == pytest.approx((428, 428 * 53.98 / 85.6), abs=1)
    page.get_by_role("button", name="The card fits").click()
    expect(page.locator("#scale")).to_contain_text("a millimetre is 5 pixels")
    assert page.locator(".fifty").bounding_box()["width"] == pytest.approx(250, abs=1)
    at_bench(page)
    for part in (".id", ".name", ".place"):
        assert page.evaluate(CAP_HEIGHT, f".cloth {part}") >= LEAST_CAP_MM * 5, part
    assert fits(page)
    page.evaluate("localStorage.setItem(Object.keys(localStorage).find((name) => name.startsWith('tenter-mm')), '20')")
    page.reload()
    assert page.evaluate("getComputedStyle(document.documentElement).getPropertyValue('--mm')") == "1mm"
    page.goto("/account/card")
    expect(page.locator("#scale")).to_contain_text("Measure again")
    page.get_by_role("button", name="Back to the browser’s own millimetre").click()
    expect(page.locator("#scale")).to_contain_text("has not been measured")
    assert page.evaluate("Object.keys(localStorage).filter((name) => name.startsWith('tenter-mm'))") == []


def test_on_a_laptop_everything_fits_with_the_buttons_and_more_open(page):
    at_bench(page)
    page.set_viewport_size({"width": 1280, "height": 800})
    page.keyboard.press("Escape")
    page.get_by_text("More", exact=True).click()
    expect(page.get_by_role("button", name="End the sitting")).to_be_visible()
    assert page.evaluate("document.documentElement.scrollHeight <= innerHeight")
    assert page.evaluate(CAP_HEIGHT, ".cloth .place") >= LEAST_CAP_MM * MM


def test_the_cloths_to_hold_again_are_there_once_the_sitting_is_open_again(page):
    sitting = begin(page)
    page.request.post(f"{sitting}/end", headers=_headers(page))
    page.goto(f"{sitting}/bench?cloths=D001+D002")
    page.wait_for_selector("#stage[data-busy=no]")
    assert page.url.endswith("?cloths=D001+D002")
    page.get_by_role("button", name="Open it again").click()
    page.wait_for_url(f"**{sitting}/bench")
    expect(page.locator(".cloth .id")).to_have_text(["D001", "D002"])  # the page may still be on its way

    page.request.post(f"{sitting}/end", headers=_headers(page))  # and where another device opens it
    page.goto(f"{sitting}/bench?cloths=D003+D004")
    page.request.post(f"{sitting}/open", headers=_headers(page))
    expect(page.locator(".cloth .id").first).to_have_text("D003")
    page.wait_for_url(f"**{sitting}/bench")


def _headers(page):
    token = next(cookie["value"] for cookie in page.context.cookies() if cookie["name"] == "tenter_csrf")
    origin = page.url.split("/sittings")[0]
    return {"X-CSRFToken": token, "Origin": origin, "Referer": page.url}


def test_everybody_can_read_and_reach_everything(page):
    at_bench(page)
    assert violations(page) == []
    page.keyboard.press("Escape")
    assert violations(page) == []
    for key, name in (("t", "notes"), ("m", "gone"), ("x", "void"), ("o", "own"), ("?", "keys")):
        page.wait_for_timeout(SETTLE_MS)
        page.keyboard.press(key)
        page.wait_for_selector(f"#{name}[open]")
        assert violations(page) == [], name
        page.keyboard.press("Escape")
        page.wait_for_selector(f"#{name}", state="hidden")
    at_bench(page, page.url.removesuffix("/bench"), "D073+D074+D075")
    assert violations(page) == []


def test_by_taps_on_a_phone(new_context, entrance):
    phone = new_context(**entrance | {"viewport": {"width": 390, "height": 844}}, has_touch=True, is_mobile=True)
    page = phone.new_page()
    begin(page)  # another face, which the bench names and swaps to
    at_bench(page)
    for turn, label in enumerate(
        ["Left better, clearly", "Right better, strongly", "Both good", "Undo", "Another pair"]
    ):
        page.wait_for_timeout(SETTLE_MS)
        page.locator(f"[data-said='{label}']").tap()
        wait_for(page, turn + 1)
    assert document(page)["entries"] == 2
    choose(page, "D017 D020")  # whose pair has as much to say of it as any of the demo kit
    page.evaluate(SAID, "Saved: entry 4, D055 Ice Pond and D088 Clotted Cream not judged: another pair was asked for.")
    for longer in (0, 0.3):  # as another language's words may be; what cloths are called stays
        page.evaluate(GROW, longer)
        for width, height in ((390, 844), (360, 740), (844, 390), (740, 360)):
            page.set_viewport_size({"width": width, "height": height})
            assert fits(page)
            lowest = page.evaluate(LOWEST)
            assert lowest <= height, (width, height, longer)


GROW = """longer => {
    const walker = document.createTreeWalker(document.getElementById("main"), NodeFilter.SHOW_TEXT);
    while (walker.nextNode()) if (!walker.currentNode.parentElement.closest(".cloths")) walker.currentNode.data =
        walker.currentNode.data.replace(/\\p{L}+/gu, word => word + "o".repeat(Math.round(longer * word.length)));
}"""
SAID = "said => { document.getElementById('notice').textContent = said }"
LOWEST = """() => Math.max(...[...document.querySelectorAll(".cloth, .answers button, [value=undo]")].map(
    (one) => one.getBoundingClientRect().bottom))"""


def test_what_is_said_covers_nothing_of_the_progress(page):
    at_bench(page)
    page.evaluate("document.getElementById('notice').textContent = 'Not saved yet: the sitting has ended. '.repeat(5)")
    for width in (844, 1280):
        page.set_viewport_size({"width": width, "height": 800})
        boxes = [page.locator(place).bounding_box() for place in ("#notice", ".progress", ".cloths")]
        notice, progress, held = boxes
        assert progress["x"] + progress["width"] <= notice["x"], width
        assert max(box["y"] + box["height"] for box in (notice, progress)) <= held["y"] + 1, width


# A pedal pressed twice that bounces the moment the screen has changed: inside the page, so that no load delays it.
BOUNCE = """() => new Promise((pressed) => {
  const stage = document.getElementById("stage");
  new MutationObserver((_changes, watcher) => {
    watcher.disconnect();
    document.body.dispatchEvent(new KeyboardEvent("keydown", { key: "a", bubbles: true, cancelable: true }));
    pressed();
  }).observe(stage, { childList: true });
  for (const _ of [1, 2]) document.querySelector('[data-said="Both good"]').click();
})"""


def test_a_key_held_down_and_a_double_press_are_one_entry(page):
    at_bench(page)
    page.keyboard.down("a")
    wait_for(page, 1)
    for _ in range(3):
        page.wait_for_timeout(SETTLE_MS)
        page.keyboard.down("a")  # the keyboard repeats
    page.keyboard.up("a")
    assert document(page)["event"] == 1
    page.evaluate(BOUNCE)
    wait_for(page, 2)
    page.wait_for_timeout(400)
    assert document(page)["event"] == 2
    expect(page.locator("#notice")).to_contain_text("Saved: entry 2")


def test_nothing_is_lost_or_doubled_when_the_server_dies(page, mortal):
    at_bench(page)
    press(page, "a")
    held = cloths(page)
    mortal.kill()
    page.wait_for_timeout(SETTLE_MS)
    page.keyboard.press("k")
    expect(page.locator("#notice")).to_contain_text("Not saved yet")
    assert cloths(page) == held
    page.keyboard.press("k")  # while one waits, a key does nothing
    mortal.start()
    wait_for(page, 2)
    expect(page.locator("#notice")).to_contain_text("Saved: entry 2")
    assert document(page)["entries"] == 2


def test_an_entry_whose_acknowledgement_was_lost_survives_a_reload_once(page):
    at_bench(page)

    written = []

    def swallow(route):
        if not written:
            written.append(route.fetch())  # the server writes it down, and the answer never arrives
        route.abort()

    page.route("**/bench/entry", swallow)
    page.wait_for_timeout(SETTLE_MS)
    page.keyboard.press("d")
    expect(page.locator("#notice")).to_contain_text("Not saved yet")
    page.reload()
    page.unroute_all(behavior="ignoreErrors")
    expect(page.locator("#notice")).to_contain_text("Saved: entry 1")
    assert document(page)["event"] == 1


def test_two_devices_stay_in_step(page, new_context, entrance):
    at_bench(page)
    other = at_bench(new_context(**entrance).new_page(), page.url.removesuffix("/bench"))
    press(page, "a")
    wait_for(other, 1)
    assert cloths(other) == cloths(page)
    expect(other.locator("#notice")).to_contain_text("From another device: entry 1")
    press(other, "n")
    wait_for(page, 2)
    assert cloths(other) == cloths(page)


def test_a_device_that_lost_the_network_does_not_answer_twice(page, new_context, entrance):
    at_bench(page)
    apart = new_context(**entrance)
    other = at_bench(apart.new_page(), page.url.removesuffix("/bench"))
    apart.set_offline(True)
    other.wait_for_timeout(SETTLE_MS)
    other.keyboard.press("l")
    expect(other.locator("#notice")).to_contain_text("Not saved yet")
    press(page, "a")
    apart.set_offline(False)
    wait_for(other, 1)
    expect(other.locator("#notice")).to_contain_text("another device")
    assert document(page)["entries"] == 1
    assert cloths(other) == cloths(page)
