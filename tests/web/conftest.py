"""A studio with two owners who know nothing of each other, and a served one that a browser opens."""

import hashlib
import pickle
import re
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import fields
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from asgiref.sync import async_to_sync
from django.contrib.auth import get_user_model
from django.test import Client as Browser
from django.utils import timezone
from playwright.sync_api import Browser as Chromium
from playwright.sync_api import BrowserContext, Page
from whitenoise.middleware import WhiteNoiseMiddleware

from studies.web.live_studio import PASSWORD, LiveStudio, Visitor, log_in
from tenter import Answer, Kit, Method, PairJudgement
from tenter.consultation.client.consent import asked
from tenter.consultation.findings.verdict import Verdict, verdict
from tenter.consultation.personal.edits import made_of
from tenter.consultation.reading.reading import Reading
from tenter.consultation.record.ledger import LedgerRow, demo_ledger
from tenter.consultation.sitting import sitting as sitting_module
from tenter.consultation.sitting.journal import event_document
from tenter.language import ENGLISH, language
from tenter.photo.cloth.measure import measure_cloth
from tenter.photo.cloth.rack import measure_rack
from tenter.photo.face.measure import measure_face
from tenter.photo.files.loading import Photo
from tenter.photo.series.measure import series_of
from tenter.report.reading.one_screen import one_screen
from tenter.web.models import Client, KitRecord, Sitting
from tenter.web.papers import handed
from tenter.web.pictures import cloth_measuring, measuring, queue, series_measuring
from tenter.web.replays import replays
from tenter.web.rules import consents
from tenter.web.sealing import stretching
from tenter.web.store import sheets, store
from tenter.web.studio import demo
from tests.support import entering
from tests.support.laid_studio import lay_demo_studio
from tests.support.running import new_studio

WIDTHS = {390: 844, 1280: 800, 1920: 1080}  # a phone, a laptop and a wall screen, with their heights


def pytest_itemcollected(item: pytest.Item) -> None:
    """Of whatever asks for no database it is known beforehand that it does not depend on which one there is.

    And whatever opens a real browser says so, with all of its file: one in the midst of the others breaks them.
    """
    assert "playwright" not in item.fixturenames or item.get_closest_marker("browser"), f"no browser's: {item.nodeid}"
    if not item.get_closest_marker("django_db") and not {"db", "transactional_db"} & set(item.fixturenames):
        item.add_marker("one_database")


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the browser's tests last: once it is open, its event loop runs on to the end, and Django minds that.

    Of those a module of many comes before one of few, so that what is left for the end, when a worker may wait for the
    other, is short.
    """
    in_module = Counter(item.path for item in items)
    items.sort(key=lambda item: (True, -in_module[item.path]) if item.get_closest_marker("browser") else (False, 0))


@pytest.fixture(autouse=True)
def nothing_kept() -> None:
    """Live sittings of one test are none of the next's, whose rows may have the same numbers."""
    store.forget_sittings()


def _once(measure: Callable[..., Any]) -> Callable[..., Any]:
    """Return a way of measuring that gives the same answer for the same pictures and words without measuring again.

    In another language it measures again, for reasons are among what is measured.
    """
    found: dict[Any, Any] = {}

    def measured(*said: Any, **named: Any) -> Any:
        if language() is not ENGLISH:
            return measure(*said, **named)
        asked = _told((said, sorted(named.items())))
        if asked not in found:
            found[asked] = measure(*said, **named)
        return found[asked]

    return measured


def _told(said: Any) -> Any:
    """Return what tells one measurement from another: of pictures and other arrays what is in them."""
    if isinstance(said, Photo):
        return tuple(_told(getattr(said, field.name)) for field in fields(said))
    if isinstance(said, np.ndarray):
        return said.shape, said.dtype.str, hashlib.sha256(said.tobytes()).digest()
    return tuple(map(_told, said)) if isinstance(said, (list, tuple)) else said


_MEASURING = [
    (measuring, "measure_face", _once(measure_face)),
    (series_measuring, "series_of", _once(series_of)),
    (cloth_measuring, "measure_rack", _once(measure_rack)),
    (cloth_measuring, "measure_cloth", _once(measure_cloth)),
]


@pytest.fixture(autouse=True)
def measured_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """No worker runs beside the tests: what is put in line is done there and then, and the same picture but once."""
    queue.queue.immediate = True
    for module, name, measure in _MEASURING:
        monkeypatch.setattr(module, name, measure)
    monkeypatch.setattr(stretching, "COST", 2**10)


def _once_a_sitting(reckon: Callable[..., Any]) -> Callable[..., Any]:
    """Return what reckons of a sitting, so that it is reckoned once for all that follow from the same things.

    What is written in a catalogue that a test made is written anew: a tag alone does not tell two of them apart.
    """
    found: dict[bytes, Any] = {}

    def reckoned(*given: Any) -> Any:
        if language() is not ENGLISH:
            return reckon(*given)
        told = [_followed_from(one) for one in given if not isinstance(one, Verdict)]
        asked = hashlib.sha256(pickle.dumps(told)).digest()
        if asked not in found:
            found[asked] = reckon(*given)
        return found[asked]

    return reckoned


def _followed_from(given: Any) -> Any:
    """Return all that a sitting, a kit or a method is made of, which tells it from any other."""
    if isinstance(given, Reading):
        frozen = given.seed, given.styles, given.face, given.uses_face_prior
        return _followed_from([given.kit, given.method]), frozen, given.events
    if isinstance(given, (Kit, Method)):
        return [getattr(given, field.name) for field in fields(given)]
    return [_followed_from(one) for one in given] if isinstance(given, list) else given


_RECKONING = [
    (sitting_module, "verdict", _once_a_sitting(verdict)),
    (handed, "made_of", _once_a_sitting(made_of)),
    (sheets, "one_screen", _once_a_sitting(one_screen)),
]


@pytest.fixture(autouse=True)
def reckoned_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two tests that come to the same sitting share its verdict and its palette before any change."""
    for module, name, reckon in _RECKONING:
        monkeypatch.setattr(module, name, reckon)


_static_files: dict[tuple[str, str], Any] = {}


@pytest.fixture(autouse=True)
def files_found_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """Every test's browser has a server's middleware of its own, and the pages' files are the same for all."""
    whole = WhiteNoiseMiddleware.get_static_file

    def found(server: WhiteNoiseMiddleware, path: str, url: str, **known: Any) -> Any:
        if (path, url) not in _static_files:
            _static_files[path, url] = whole(server, path, url, **known)
        return _static_files[path, url]

    monkeypatch.setattr(WhiteNoiseMiddleware, "get_static_file", found)


@cache
def _demo_rows() -> list[LedgerRow]:
    return demo_ledger(Kit.demo())


_demo_document = cache(event_document)
_digests: dict[str, str] = {}


@pytest.fixture
def replayed_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sitting is replayed once for all tests that ask for its odds: the checksum holds all that they follow from."""
    whole = replays.digest

    def digest(history: replays.SittingHistory) -> str:
        key = replays.checksum(history)
        if key not in _digests:
            _digests[key] = whole(history)
        return _digests[key]

    monkeypatch.setattr(replays, "digest", digest)


@pytest.fixture
def person(db: None) -> Callable[[str], Any]:
    return lambda name: get_user_model().objects.create_user(name, password=PASSWORD)


@pytest.fixture
def owner(person: Callable[[str], Any], monkeypatch: pytest.MonkeyPatch) -> Any:
    """The owner of the demo studio, whose ledger is read but once; kit and light are measured by who tests that."""
    user = person("Wenna Castrall")
    with monkeypatch.context() as loading:
        loading.setattr(demo, "demo_ledger", lambda kit: _demo_rows())
        loading.setattr(store, "event_document", _demo_document)
        loading.setattr(demo, "measure_workshop", lambda *_: None)
        lay_demo_studio(user)
    return user


@pytest.fixture
def stranger(person: Callable[[str], Any]) -> Any:
    return person("Ludo Marsh")


def browser_of(user: Any) -> Browser:
    browser = Browser()
    browser.force_login(user)
    return browser


def content_of(answer: Any) -> bytes:
    """Return what an answer sends bit by bit."""

    async def joined() -> bytes:
        return b"".join([chunk async for chunk in answer.streaming_content])

    return async_to_sync(joined)()


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """The data folder of one test alone, and the place of its cards' values."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "share"))
    monkeypatch.setenv("TENTER_DATA_DIR", str(tmp_path / "data"))
    return tmp_path / "data"


@pytest.fixture
def visitor(owner: Any) -> Browser:
    return browser_of(owner)


@pytest.fixture
def client_row(owner: Any) -> Client:
    return Client.objects.get(name="Ilse Varnholt")


def agreed(client: Client) -> Client:
    """Write down that a client agrees to everything that is asked."""
    consents.give_consent(
        client, [one.purpose for one in asked(client.minor)], consents.usual_end(), client.owner, "Orla Venn"
    )
    return client


@pytest.fixture
def going_on(owner: Any) -> Sitting:
    """A sitting of a client of its own whose verdict was revealed, and which goes on."""
    client = agreed(Client.objects.create(owner=owner, name="Ada"))
    row = store.start_sitting(client, owner, KitRecord.objects.get(owner=owner), seed=3)
    entering.record_judgement(row, PairJudgement("D063", "D064", Answer.LEFT, 2), "a")
    entering.record_judgement(row, PairJudgement("D077", "D078", Answer.RIGHT, 2), "b")
    row.revealed_at = timezone.now()
    row.save()
    return row


# -- a real browser at a real server; `new_context` is the plug-in's ---------------------------------------------------


@pytest.fixture(scope="session")
def studio(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveStudio]:
    """A served demo studio for all browser tests: each starts sittings of its own there."""
    yield from new_studio.opened(tmp_path_factory.mktemp("studio"))


@pytest.fixture(scope="session")
def workshop(tmp_path_factory: pytest.TempPathFactory) -> Iterator[LiveStudio]:
    """Another served demo studio, whose kit and light are measured: other tests' sittings are to know nothing of it."""
    running = new_studio.started(tmp_path_factory.mktemp("workshop"))
    Visitor(running).open_studio()
    yield running
    running.stop()


@pytest.fixture
def workshop_page(browser: Chromium, workshop: LiveStudio) -> Iterator[Page]:
    """The owner's page in that studio. No script of it may fail, and nothing may be refused by the pages' policy."""
    page, faults = browser.new_page(base_url=workshop.address, viewport={"width": 1280, "height": 800}), []
    page.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    log_in(page)
    yield page
    page.close()
    assert [fault for fault in faults if "status of 422" not in fault] == []


@pytest.fixture
def mortal(studio: LiveStudio) -> Iterator[LiveStudio]:
    """The same studio, to be killed; afterwards it is up again, whatever happened."""
    yield studio
    if not studio.is_running:
        studio.start()


@pytest.fixture(scope="session")
def entrance(browser: Chromium, studio: LiveStudio) -> dict[str, Any]:
    """What a browser needs to be the owner's, at her laptop."""
    page = browser.new_page(base_url=studio.address)
    log_in(page)
    state = page.context.storage_state()
    page.close()
    return {"base_url": studio.address, "storage_state": state, "viewport": {"width": 1280, "height": 800}}


@pytest.fixture
def context(new_context: Callable[..., BrowserContext], entrance: dict[str, Any]) -> BrowserContext:
    """The owner's browser."""
    return new_context(**entrance)


@pytest.fixture
def page(context: BrowserContext) -> Iterator[Page]:
    """The owner's page. No script of it may fail, and nothing may be refused by the pages' own policy."""
    faults: list[str] = []
    context.on("weberror", lambda error: faults.append(str(error.error)))
    context.on("console", lambda said: faults.append(said.text) if said.type == "error" else None)
    yield context.new_page()
    # A test may take the network away, or open a page that is not there.
    assert [fault for fault in faults if not re.search(r"net::ERR_|status of 404", fault)] == []
