"""Walk 5 in a browser, by keys alone: every answer, its strength, undo, the next pair at once, and never any odds."""

import json

import pytest

from web.conftest import WIDTHS
from web.in_browser import at_bench, begin, cloths, document, fits, press, reveal, tells_a_result

# What each key says, as the bench says it back. A pedal or a presenter sends the page and arrow keys.
LEFT = {"a": "a little", "s": "clearly", "d": "strongly", "PageUp": "a little"}
RIGHT = {"j": "a little", "k": "clearly", "l": "strongly", "PageDown": "a little"}
EQUAL = {"n": "nothing seen", "g": "both good", "w": "both wrong", "ArrowDown": "nothing seen"}
NEXT_PAIR = 300  # milliseconds from a key to the next pair, by the page's own clock
CLOCK = """() => {
    const stage = document.getElementById("stage");
    let pressed = 0;
    window.took = [];
    addEventListener("keydown", () => { pressed = performance.now(); }, true);
    new MutationObserver(() => took.push(performance.now() - pressed)).observe(stage, {childList: true});
}"""
pytestmark = pytest.mark.browser


def answered(page, key):
    """Press a key, and return the two cloths that were held and what the bench says was answered."""
    left, right = cloths(page)
    press(page, key)
    return left, right, document(page)["last"]


@pytest.mark.parametrize("width", WIDTHS)
def test_every_answer_by_keys_alone_to_the_verdict(page, width):
    page.set_viewport_size({"width": width, "height": WIDTHS[width]})
    sitting = begin(page)
    page.goto(f"{sitting}/arrival")
    screen = page.locator("a[href^='/screen/']").first.get_attribute("href")
    at_bench(page, sitting)
    page.evaluate(CLOCK)
    for key, strength in LEFT.items():
        left, right, said = answered(page, key)
        assert said.startswith(f"entry {document(page)['entries']}, {left} ")
        assert f" {strength} better than {right} " in said
    for key, strength in RIGHT.items():
        left, right, said = answered(page, key)
        assert f", {right} " in said
        assert f" {strength} better than {left} " in said
    for key, words in EQUAL.items():
        left, right, said = answered(page, key)
        assert f", {left} " in said
        assert f" and {right} " in said
        assert said.endswith(f": {words}")
    entries = len(LEFT) + len(RIGHT) + len(EQUAL)
    assert document(page)["entries"] == entries
    press(page, "u")
    assert document(page)["entries"] == entries - 1
    assert document(page)["last"].startswith(f"taken back: entry {entries}, ")

    took = page.evaluate("took")
    assert len(took) == entries + 1
    assert sorted(took)[len(took) // 2] < NEXT_PAIR
    assert fits(page)
    assert len(cloths(page)) == 2
    clients = page.request.get(screen).text()
    sent = {name: said for name, said in document(page).items() if name != "stage"}  # which is what the page shows
    for told in (page.locator("body").inner_text(), json.dumps(sent), clients):
        assert not tells_a_result(told)
    reveal(page)
    assert tells_a_result(page.locator(".verdict-head").inner_text())


@pytest.mark.parametrize("width", [1280, 1920])
def test_beside_the_cloths_and_the_progress_there_is_nothing(page, width):
    page.set_viewport_size({"width": width, "height": WIDTHS[width]})
    at_bench(page)
    seen = page.locator("#stage").inner_text().split("\n")
    names = page.locator(".cloth").all_inner_texts()
    progress = page.locator(".progress").inner_text()
    told = " ".join([*names, progress]).split()
    beside = [line for line in seen if line.strip() and not set(line.split()) <= set(told)]
    assert beside == page.locator(".drawer > summary").inner_text().split("\n")  # which brings the buttons back
