"""The bench in a browser: keys alone, taps alone, a server that dies, and two devices on one sitting."""

import os
import re
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest
from axe_playwright_python.sync_playwright import Axe
from playwright.sync_api import Browser, BrowserContext, Page, expect, sync_playwright

pytestmark = pytest.mark.browser
ROOT = Path(__file__).parents[2]
NAME, PASSWORD = "Wenna Castrall", "cloth and daylight"
MM = 96 / 25.4  # CSS pixels
LEAST_CAP_MM = 12  # 20 minutes of arc at 2 m
ANSWERS = (
    "a",
    "ArrowRight",
    "n",
    "PageUp",
    "k",
    "g",
    "PageDown",
    "s",
    "l",
    "w",
    "ArrowLeft",
    "d",
    "j",
    "ArrowDown",
    "a",
)
CLOCK = """() => {
    const stage = document.getElementById("stage");
    let pressed = 0;
    window.took = [];
    addEventListener("keydown", () => { pressed = performance.now(); }, true);
    new MutationObserver(() => took.push(performance.now() - pressed)).observe(stage, {childList: true});
}"""
CAP_HEIGHT = """selector => Math.min(...[...document.querySelectorAll(selector)].map(element => {
    const style = getComputedStyle(element), pen = document.createElement("canvas").getContext("2d");
    pen.font = `${style.fontWeight} ${style.fontSize} ${style.fontFamily}`;
    return pen.measureText("H").actualBoundingBoxAscent;
}))"""


class Server:
    """Tenter as it is served, on a data folder of its own, that can be killed and started again."""

    def __init__(self, folder: Path) -> None:
        with socket.socket() as free:
            free.bind(("127.0.0.1", 0))
            self.port = free.getsockname()[1]
        self.address = f"http://127.0.0.1:{self.port}"
        without = {"DATABASE_URL", "DJANGO_SETTINGS_MODULE"}
        self.environment = {k: v for k, v in os.environ.items() if k not in without} | {"TENTER_DATA_DIR": str(folder)}
        self.start()

    def start(self) -> None:
        command = [Path(sys.executable).with_name("tenter-web"), "--port", str(self.port)]
        self.process = subprocess.Popen(command, env=self.environment, cwd=ROOT)
        for _ in range(200):
            try:
                urllib.request.urlopen(f"{self.address}/login", timeout=5).close()
                return
            except OSError:
                time.sleep(0.1)
        self.kill()
        raise RuntimeError("the server did not start")

    def kill(self) -> None:
        self.process.kill()
        self.process.wait()


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    running = Server(tmp_path_factory.mktemp("studio"))
    yield running
    running.kill()


@pytest.fixture(scope="module")
def chromium() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path="/usr/bin/chromium", args=["--no-sandbox"])
        yield browser
        browser.close()


@pytest.fixture(scope="module")
def entrance(chromium: Browser, server: Server) -> dict[str, object]:
    """Return the cookies of the studio's owner."""
    desk = chromium.new_context()
    page = desk.new_page()
    page.goto(f"{server.address}/welcome")
    page.fill("[name=name]", NAME)
    page.fill("[name=password]", PASSWORD)
    page.check("[name=demo]")
    page.click("main button")
    page.wait_for_url("**/day")
    state = dict(desk.storage_state())
    desk.close()
    return state


@pytest.fixture
def desk(chromium: Browser, entrance: dict[str, object]) -> Iterator[BrowserContext]:
    found = chromium.new_context(storage_state=entrance, viewport={"width": 1280, "height": 720})
    yield found
    found.close()


def start(desk: BrowserContext, server: Server) -> Page:
    """Open the bench of a new sitting."""
    page = desk.new_page()
    faults = page.faults = []
    page.on("pageerror", lambda error: faults.append(str(error)))
    page.on("console", lambda m: faults.append(m.text) if "Content Security" in m.text else None)
    page.goto(f"{server.address}/day")
    page.click("form[action='/sittings/start'] button:not([type=button])")
    page.wait_for_url(re.compile(r"/sittings/\d+"))
    number = re.search(r"/sittings/(\d+)", page.url)[1]
    return go(page, f"{server.address}/sittings/{number}/bench")


def go(page: Page, address: str) -> Page:
    page.goto(address)
    page.wait_for_selector("#stage[data-busy=no]")
    return page


def at(page: Page) -> int:
    return int(page.get_attribute("#bench", "data-event"))


def wait_for(page: Page, event: int) -> None:
    page.wait_for_selector(f"#bench[data-event='{event}']", timeout=15000)
    page.wait_for_selector("#stage[data-busy=no]")


def press(page: Page, key: str) -> None:
    """Press an answer's key once the screen has settled, and wait for the next cloths."""
    event = at(page)
    page.wait_for_timeout(260)
    page.keyboard.press(key)
    wait_for(page, event + 1)


def cloths(page: Page) -> list[str]:
    return page.locator(".cloth .id").all_text_contents()


def document(page: Page) -> dict[str, object]:
    return page.evaluate("fetch(document.getElementById('stage').dataset.state).then(r => r.json())")


def test_a_sitting_by_keys_alone_to_the_verdict(desk, server):
    page = start(desk, server)
    page.evaluate(CLOCK)
    for key in ANSWERS:
        press(page, key)
    took = page.evaluate("took")
    assert document(page)["entries"] == len(ANSWERS)
    assert len(took) == len(ANSWERS)
    assert sorted(took)[len(took) // 2] < 300  # milliseconds from the key to the next pair by the page's own clock
    page.wait_for_timeout(260)
    page.keyboard.press("v")
    page.wait_for_url(re.compile(r"/verdict$"))
    assert page.faults == []


def test_flags_missing_void_own_choice_and_fan_by_keys_alone(desk, server):
    page = start(desk, server)
    left, right = cloths(page)
    page.keyboard.press("h")
    page.keyboard.press("t")
    page.keyboard.press("1")
    page.keyboard.press("ArrowRight")
    page.keyboard.press("w")
    page.keyboard.press("Enter")
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
    page.keyboard.press("o")
    page.keyboard.type("D073 D074 D075")
    page.keyboard.press("Enter")
    page.wait_for_selector(".cloths.fan")
    for key in ("2", "1", "=", "3"):
        page.keyboard.press(key)
    press(page, "Enter")
    assert "D074 " in document(page)["last"].split(", then ")[0]
    assert " level with D075 " in document(page)["last"]
    press(page, "u")
    before = cloths(page)
    press(page, "y")
    assert cloths(page) != before
    page.keyboard.press("?")
    expect(page.locator("#keys")).to_contain_text("Another pair")
    assert page.faults == []


@pytest.mark.parametrize("width", [1280, 1920])
def test_the_cloths_are_legible_at_two_metres(desk, server, width):
    page = start(desk, server)
    page.set_viewport_size({"width": width, "height": 720 if width == 1280 else 1080})
    for part in (".id", ".name", ".place"):
        assert page.evaluate(CAP_HEIGHT, f".cloth {part}") >= LEAST_CAP_MM * MM, part
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.evaluate("document.querySelector('.cloths').getBoundingClientRect().bottom <= innerHeight")
    assert page.evaluate("getComputedStyle(document.body).backgroundColor") == "rgb(132, 132, 132)"
    coloured = """() => [...document.querySelectorAll("body, body *")].flatMap(e => {
        const s = getComputedStyle(e); return [s.color, s.backgroundColor, s.borderTopColor];
    }).filter(c => { const [r, g, b] = c.match(/[\\d.]+/g); return r !== g || g !== b; })"""
    assert page.evaluate(coloured) == []


def faults_of_access(page: Page) -> list[str]:
    return [violation["id"] for violation in Axe().run(page).response["violations"]]


def test_everybody_can_read_and_reach_everything(desk, server):
    page = start(desk, server)
    assert faults_of_access(page) == []
    page.keyboard.press("Escape")
    assert faults_of_access(page) == []
    for key, name in (("t", "notes"), ("m", "gone"), ("x", "void"), ("o", "own"), ("?", "keys")):
        page.wait_for_timeout(300)  # longer than a bounce of a key
        page.keyboard.press(key)
        page.wait_for_selector(f"#{name}[open]")
        assert faults_of_access(page) == [], name
        page.keyboard.press("Escape")
        page.wait_for_selector(f"#{name}", state="hidden")
    go(page, f"{page.url}?cloths=D073+D074+D075")
    assert faults_of_access(page) == []


def test_by_taps_on_a_phone(chromium, entrance, server):
    phone = chromium.new_context(
        storage_state=entrance, viewport={"width": 390, "height": 844}, has_touch=True, is_mobile=True
    )
    page = start(phone, server)
    for turn, label in enumerate(
        ["Left better, clearly", "Right better, strongly", "Both good", "Undo", "Another pair"]
    ):
        page.wait_for_timeout(260)
        page.locator(f"[data-says='{label}']").tap()
        wait_for(page, turn + 1)
    assert document(page)["entries"] == 2
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.evaluate("document.querySelector('.answers').getBoundingClientRect().bottom <= innerHeight")
    phone.close()


def test_a_key_held_down_and_a_double_press_are_one_entry(desk, server):
    page = start(desk, server)
    page.keyboard.down("a")
    wait_for(page, 1)
    for _ in range(3):
        page.wait_for_timeout(260)
        page.keyboard.down("a")  # the keyboard repeats
    page.keyboard.up("a")
    assert document(page)["event"] == 1
    page.evaluate("() => { for (const _ of [1, 2]) document.querySelector('[data-says=\"Both good\"]').click(); }")
    wait_for(page, 2)
    page.keyboard.press("a")  # a pedal bounces just after the screen has changed
    page.wait_for_timeout(400)
    assert document(page)["event"] == 2
    expect(page.locator("#notice")).to_contain_text("Saved: entry 2")


def test_nothing_is_lost_or_doubled_when_the_server_dies(desk, server):
    page = start(desk, server)
    press(page, "a")
    held = cloths(page)
    server.kill()
    page.wait_for_timeout(260)
    page.keyboard.press("k")
    expect(page.locator("#notice")).to_contain_text("Not saved yet")
    assert cloths(page) == held
    page.keyboard.press("k")  # while one waits, a key does nothing
    server.start()
    wait_for(page, 2)
    expect(page.locator("#notice")).to_contain_text("Saved: entry 2")
    assert document(page)["entries"] == 2


def test_an_entry_whose_acknowledgement_was_lost_survives_a_reload_once(desk, server):
    page = start(desk, server)

    def swallow(route):
        route.fetch()  # the server writes it down, and the answer never arrives
        route.abort()

    page.route("**/bench/entry", swallow)
    page.wait_for_timeout(260)
    page.keyboard.press("d")
    expect(page.locator("#notice")).to_contain_text("Not saved yet")
    page.unroute("**/bench/entry")
    page.reload()
    expect(page.locator("#notice")).to_contain_text("Saved: entry 1")
    assert document(page)["event"] == 1


def test_two_devices_stay_in_step(desk, server):
    page = start(desk, server)
    other = go(desk.new_page(), page.url)
    press(page, "a")
    wait_for(other, 1)
    assert cloths(other) == cloths(page)
    expect(other.locator("#notice")).to_contain_text("From another device: entry 1")
    press(other, "n")
    wait_for(page, 2)
    assert cloths(other) == cloths(page)


def test_a_device_that_lost_the_network_does_not_answer_twice(desk, server, chromium, entrance):
    page = start(desk, server)
    apart = chromium.new_context(storage_state=entrance, viewport={"width": 1280, "height": 720})
    other = go(apart.new_page(), page.url)
    apart.set_offline(True)
    other.wait_for_timeout(260)
    other.keyboard.press("l")
    expect(other.locator("#notice")).to_contain_text("Not saved yet")
    press(page, "a")
    apart.set_offline(False)
    wait_for(other, 1)
    expect(other.locator("#notice")).to_contain_text("moved on")
    assert document(page)["entries"] == 1
    assert cloths(other) == cloths(page)
    apart.close()
