"""What a page in a real browser does with a label that a phone has scanned."""

import pytest

pytestmark = pytest.mark.browser


def test_a_page_takes_a_scan_once_and_never_leaves_what_is_typed(page):
    told = {"on": True, "scan": "1", "cloth": "D038", "said": "Scanned: D038"}

    def while_on(route):
        found = route.fetch()
        route.fulfill(response=found, body=found.text().replace(" data-off data-scanned", " data-scanned"))

    page.route("**/kit/1/readings/enter*", while_on)
    page.route("**/scanned?*", lambda route: route.fulfill(json=told))
    page.goto("/kit/1/readings/enter?times=3")
    page.wait_for_url("**/kit/1/readings/enter?times=3&cloth=D038")
    page.fill("[name=L]", "55")
    told |= {"scan": "2", "cloth": "D039", "said": "Scanned: D039"}
    page.get_by_role("link", name="Open it without saving").click()
    page.wait_for_url("**/kit/1/readings/enter?times=3&cloth=D039")
    with page.expect_response("**/scanned?*"):
        page.goto("/kit/1/readings/enter?cloth=D040")
    page.wait_for_timeout(400)  # where it was taken again, the page is left within this
    assert page.url.endswith("?cloth=D040")
    assert page.locator("#scanned").is_hidden()


def test_a_page_that_was_opened_before_hears_of_a_device_from_the_page_that_connects_them(page):
    told = {"on": True, "scan": "1", "cloth": "D038", "said": "Scanned: D038"}

    def not_by_itself(route):
        found = route.fetch()
        route.fulfill(response=found, body=found.text().replace("FIRST = 10000", "FIRST = 1e9"))

    page.route("**/coming.js", not_by_itself)
    page.route("**/coming", lambda route: route.fulfill(json={"labels": True, "pictures": True, "again": 0}))
    page.route("**/scanned?*", lambda route: route.fulfill(json=told))
    page.goto("/kit/1/readings/enter")
    page.context.new_page().goto("/studio/devices")
    page.wait_for_url("**/kit/1/readings/enter?cloth=D038")
    assert page.locator("[name=cloth]").input_value() == "D038"
