"""Walk 5 in a browser, by keys alone: every answer, its strength, undo, the next pair at once, and never any odds."""

import json

import pytest

from tests.support.in_browser import (
    at_bench,
    at_every_width,
    at_width,
    begin,
    cloths,
    document,
    fits,
    press,
    reveal,
    tells_a_result,
)

# What each key says, as the bench says it back. A pedal or a presenter sends the page and arrow keys.
LEFT = {"a": "a little", "s": "clearly", "d": "strongly", "PageUp": "a little"}
RIGHT = {"j": "a little", "k": "clearly", "l": "strongly", "PageDown": "a little"}
EQUAL = {"n": "nothing seen", "g": "both good", "w": "both wrong", "ArrowDown": "nothing seen"}
COUNT = """() => {
    window.drawn = 0;
    new MutationObserver(() => { drawn += 1; }).observe(document.getElementById("stage"), {childList: true});
}"""
pytestmark = pytest.mark.browser


def answered(page, key):
    """Press a key, and return the two cloths that were held and what the bench says was answered."""
    left, right = cloths(page)
    press(page, key)
    return left, right, document(page)["last"]


def chosen_on_the_left(page):
    for key, strength in LEFT.items():
        left, right, said = answered(page, key)
        assert said.startswith(f"entry {document(page)['entries']}, {left} ")
        assert f" {strength} better than {right} " in said
    return len(LEFT)


def chosen_on_the_right(page):
    for key, strength in RIGHT.items():
        left, right, said = answered(page, key)
        assert f", {right} " in said
        assert f" {strength} better than {left} " in said
    return len(RIGHT)


def found_equal(page):
    for key, words in EQUAL.items():
        left, right, said = answered(page, key)
        assert f", {left} " in said
        assert f" and {right} " in said
        assert said.endswith(f": {words}")
    return len(EQUAL)


ANSWERS = (chosen_on_the_left, chosen_on_the_right, found_equal)


def take_back(page, entry):
    before = document(page)["entries"]
    press(page, "u")
    assert document(page)["entries"] == before - 1
    assert document(page)["last"].startswith(f"entry {entry} is taken back: ")


def nothing_is_told(page, screen):
    clients = page.request.get(screen).text()
    sent = {name: said for name, said in document(page).items() if name != "stage"}  # which is what the page shows
    for told in (page.locator("body").inner_text(), json.dumps(sent), clients):
        assert not tells_a_result(told)


def test_every_answer_by_keys_alone_to_the_verdict(page):
    """One sitting goes over the three screens, a third of the keys on each: no key asks for the width."""
    sitting = begin(page)
    page.goto(f"{sitting}/arrival")
    screen = page.locator("a[href^='/screen/']").first.get_attribute("href")
    at_bench(page, sitting)
    given = 0
    for taken_back, (answer, _) in enumerate(zip(ANSWERS, at_every_width(page), strict=True)):
        page.wait_for_selector("#stage[data-busy=no]")
        page.evaluate(COUNT)
        pressed = answer(page)
        given += pressed
        assert document(page)["entries"] == given - taken_back
        take_back(page, given)
        assert page.evaluate("drawn") == pressed + 1
        assert fits(page)
        assert len(cloths(page)) == 2
        nothing_is_told(page, screen)
    reveal(page)
    for _ in at_every_width(page):
        assert tells_a_result(page.locator(".verdict-head").inner_text())


@pytest.mark.parametrize("width", [1280, 1920])
def test_beside_the_cloths_and_the_progress_there_is_nothing(page, width):
    at_bench(at_width(page, width))
    seen = page.locator("#stage").inner_text().split("\n")
    names = page.locator(".cloth").all_inner_texts()
    progress = page.locator(".progress").inner_text()
    told = " ".join([*names, progress]).split()
    beside = [line for line in seen if line.strip() and not set(line.split()) <= set(told)]
    assert beside == page.locator(".drawer > summary").inner_text().split("\n")  # which brings the buttons back
