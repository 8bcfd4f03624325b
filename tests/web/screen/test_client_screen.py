"""The client's screen: before the reveal it gives nothing away, after it it tells the sitting back."""

import asyncio
import html
import re
from datetime import timedelta

import numpy as np
import pytest
from asgiref.sync import async_to_sync
from django.contrib.auth.models import User
from django.test import Client as Browser
from django.utils import timezone

from tenter import Answer, FanJudgement, Method, PairJudgement
from tenter.consultation.conventions.bundled import BUNDLED
from tenter.consultation.words.odds_words import OddsWord
from tenter.report.on_screen.told_back import told_back
from tenter.report.words.swatches import kit_swatches
from tenter.web.models import Client, KitRecord, Sitting, StudioName
from tenter.web.screen import screen_views
from tenter.web.store import store
from tenter.web.store.screen_link import link_of
from tests.support import entering
from tests.support.pseudo import TAG, english, write_catalogue
from tests.web.conftest import browser_of

SEASONS = ("spring", "summer", "autumn", "winter")
CATEGORIES = {category for name in BUNDLED for category in Method.bundled(name).categories}
TELLING = (*sorted({*SEASONS, *CATEGORIES}), "%", "percent", "odds", "probab", "verdict")
ODDS = re.compile(rf"\b({'|'.join(OddsWord)})\b", re.IGNORECASE)


@pytest.fixture
def begin(owner):
    """Start a sitting of a client with this nature, and record random entries in it."""

    def start(entries=0, seed=0, method="four-by-three", **nature):
        client = Client.objects.create(owner=owner, name=f"Client {seed}", **nature)
        row = store.start_sitting(client, owner, KitRecord.objects.get(owner=owner), method, seed=seed)
        rng = np.random.default_rng(seed)
        for n in range(entries):
            with store.load(row) as live:
                pair = live.propose() if rng.random() < 0.6 else tuple(rng.choice(live.kit.ids, 2, replace=False))
                others = [str(c) for c in rng.choice(live.kit.ids, 3, replace=False)]
            answer = PairJudgement(str(pair[0]), str(pair[1]), rng.choice(list(Answer)), int(rng.integers(1, 4)))
            entering.record_judgement(row, FanJudgement(tuple(others)) if rng.random() < 0.2 else answer, f"{seed}-{n}")
        return row

    return start


@pytest.fixture
def stream(monkeypatch):
    """Return the bytes of an event stream that ends after a few looks."""
    monkeypatch.setattr(screen_views, "_LOOKS_EVERY", 0.0)
    monkeypatch.setattr(screen_views, "_LIVES", 20)

    def read(token):
        response = Browser().get(f"/screen/{token}/events")
        assert response["Content-Type"] == "text/event-stream"

        async def whole():
            return b"".join([chunk async for chunk in response.streaming_content])

        return async_to_sync(whole)()

    return read


def telling(content: bytes) -> list[str]:
    text = content.decode().lower()
    return [word for word in TELLING if word in text] + ODDS.findall(text)


@pytest.mark.parametrize("seed", range(9))
def test_before_the_reveal_nothing_is_given_away(begin, stream, seed):
    nature = {"words_only": seed % 3 == 0, "minor": seed % 3 == 1}
    row = begin(entries=3 * seed, seed=seed, method=BUNDLED[seed % 3], **nature)
    page = Browser().get(f"/screen/{row.token}")
    assert page.status_code == 200
    headers = "\n".join(f"{name}: {value}" for name, value in page.items()).encode()
    assert telling(page.content) == []
    assert telling(stream(row.token)) == []
    assert telling(headers) == []
    assert b"<svg" in page.content
    assert set(re.findall(rb'fill="(#\w+)"', page.content)) <= {b"#333333", b"#a8a8a8"}  # no cloth is drawn


def test_it_shows_the_question_the_cloths_and_the_progress(begin):
    row = begin()
    page = Browser().get(f"/screen/{row.token}").text
    with store.load(row) as live:
        assert live.method.phases[0].question in page
        left, right = live.propose()
        assert f">{left}<" in page
        assert f">{right}<" in page
        assert live.kit[left].name not in page  # a studio may name its cloths after seasons
    assert "Question 1 of 4" in page


def numbers(row):
    return re.findall(r'<span class="number">([^<]+)</span>', Browser().get(f"/screen/{row.token}").text)


@pytest.mark.parametrize(
    ("cloths", "shown"),
    [
        ("D063 D064", ["D063", "D064"]),
        ("D073 D074 D075", ["D073", "D074", "D075"]),
        ("D092", ["D092"]),
        ("D061+D090 D062", ["D061 + D090", "D062"]),
    ],
)
def test_it_shows_the_cloths_that_are_held_by_choice_until_the_next_entry(owner, begin, cloths, shown):
    row = begin(entries=2, seed=3)
    planned, before = numbers(row), screen_views.version(row.pk)
    desk = browser_of(owner)
    desk.get(f"/sittings/{row.pk}/bench", {"cloths": cloths})
    assert numbers(row) == shown
    assert screen_views.version(row.pk) != before
    assert telling(Browser().get(f"/screen/{row.token}").content) == []
    again = screen_views.version(row.pk)
    desk.get(f"/sittings/{row.pk}/bench", {"cloths": cloths})  # the same cloths are no news
    desk.get(f"/sittings/{row.pk}/bench")
    assert (numbers(row), screen_views.version(row.pk)) == (shown, again)
    desk.get(f"/sittings/{row.pk}/bench/state", {"cloths": ""})  # back to the plan
    assert numbers(row) == planned
    desk.get(f"/sittings/{row.pk}/bench/state", {"cloths": cloths})
    row.refresh_from_db()
    assert (row.held, row.events.count()) == (cloths, 2)  # no event: it is no evidence
    entering.record_judgement(row, PairJudgement("D001", "D002", Answer.LEFT), "next")
    row.refresh_from_db()
    assert row.held == ""
    assert numbers(row) != shown


def test_a_cloth_that_the_kit_lacks_is_never_held(owner, begin):
    row = begin()
    planned = numbers(row)
    assert browser_of(owner).get(f"/sittings/{row.pk}/bench", {"cloths": "D063 D999"}).status_code == 422
    assert numbers(row) == planned


def test_cloths_held_by_choice_have_their_words_too(owner, begin):
    row = begin(words_only=True)
    browser_of(owner).get(f"/sittings/{row.pk}/bench", {"cloths": "D061+D090 D062 D063"})
    words = re.findall(r'<span class="words">([^<]+)</span>', Browser().get(f"/screen/{row.token}").text)
    assert [" with " in word for word in words] == [True, False, False]


def test_when_the_sitting_has_ended_it_thanks_and_shows_no_cloth(owner, begin):
    row = begin(entries=1, seed=5)
    before = screen_views.version(row.pk)
    browser_of(owner).post(f"/sittings/{row.pk}/end")
    assert "Thank you for sitting" in Browser().get(f"/screen/{row.token}").text
    assert numbers(row) == []
    assert screen_views.version(row.pk) != before


def after(monkeypatch, **later):
    real = timezone.now
    monkeypatch.setattr(timezone, "now", lambda: real() + timedelta(**later))


def test_the_link_ends_an_hour_after_the_sitting_and_a_new_one_is_made(owner, begin, monkeypatch):
    row, client = begin(entries=1, seed=5), Browser()
    after(monkeypatch, days=3)
    consultant = browser_of(owner)
    assert client.get(f"/screen/{row.token}").status_code == 200, "as long as the sitting goes on"
    consultant.post(f"/sittings/{row.pk}/end")
    after(monkeypatch, minutes=59)
    assert client.get(f"/screen/{row.token}").status_code == 200
    after(monkeypatch, minutes=2)
    ended = client.get(f"/screen/{row.token}")
    assert (ended.status_code, "Ask your consultant for a new link" in ended.text) == (410, True)
    assert client.get(f"/screen/{row.token}/events").status_code == 404
    new = consultant.post(f"/sittings/{row.pk}/screen")["Location"]
    assert client.get(f"/screen/{row.token}").status_code == 404
    assert client.get(new).status_code == 200
    row.refresh_from_db()
    assert client.get(f"/screen/{row.token}").status_code == 410, "what is signed says when it was made"
    assert client.get(f"{new[:-1]}{'x' if new[-1] != 'x' else 'y'}").status_code == 410
    after(monkeypatch, minutes=61)
    assert client.get(new).status_code == 410


def test_a_new_link_is_for_the_analyst_to_make_and_ends_the_one_before(owner, begin, stranger):
    row = begin(entries=1, seed=5)
    assert browser_of(stranger).post(f"/sittings/{row.pk}/screen").status_code == 404
    new = browser_of(owner).post(f"/sittings/{row.pk}/screen")["Location"]
    assert Browser().get(f"/screen/{row.token}").status_code == 404
    assert Browser().get(new).status_code == 200
    browser_of(owner).post(f"/sittings/{row.pk}/end")
    assert "New screen link" in browser_of(owner).get(f"/sittings/{row.pk}/arrival").text


def test_a_stranger_without_the_address_gets_nothing(begin):
    begin()
    for token in ("x", "..", Sitting.objects.first().token[:-1]):
        assert Browser().get(f"/screen/{token}").status_code == 404
        assert Browser().get(f"/screen/{token}/events").status_code == 404


def test_it_is_read_only(begin):
    row = begin()
    assert Browser().post(f"/screen/{row.token}").status_code == 405
    assert Browser().post(f"/screen/{row.token}/events").status_code == 405
    assert "<form" not in Browser().get(f"/screen/{row.token}").text


def test_after_the_reveal_the_sitting_is_told_back(owner):
    row = Sitting.objects.get(client__name="Maren Tolliver")
    page = Browser().get(f"/screen/{link_of(row)}").text
    with store.load(row) as live:
        verdict = live.verdict()
        groups = told_back(live, verdict, kit_swatches(live.kit))
    told = [picture.text for group in groups for picture in group.pictures]
    texts = [page.index(text) for text in told]
    assert texts == sorted(texts)
    assert max(texts) < page.index(f"{verdict.category.capitalize()}</h2>") < page.index("Borrow")
    assert page.count('class="side more"') == sum(" did more for your " in said for said in told) == 10  # in words too
    for mark in ("seen", "predicted", "custom"):
        assert f"known-{mark}" in page


@pytest.mark.one_database
def test_no_word_of_the_screen_is_left_in_english_in_another_language(owner, begin, tmp_path, monkeypatch, settings):
    settings.LOCALE_PATHS, settings.LANGUAGES = [write_catalogue(tmp_path)], [("en", "en"), (TAG, TAG)]
    User.objects.filter(pk=owner.pk).update(is_superuser=True)
    StudioName.objects.update_or_create(owner=owner, defaults={"name": "North", "language": TAG})
    told, held = Sitting.objects.get(client__name="Maren Tolliver"), begin(words_only=True)
    Client.objects.filter(pk=told.client_id).update(words_only=True)
    names = {drape.name for drape in store.kit_of(told.kit).drapes}
    pages = [Browser().get(f"/screen/{link_of(row)}").text for row in (told, held)]
    browser_of(owner).post(f"/sittings/{held.pk}/end")
    pages.append(Browser().get(f"/screen/{link_of(held)}").text)
    after(monkeypatch, days=9)
    pages.append(Browser().get(f"/screen/{link_of(held)}").text)
    for page in pages:
        assert f'lang="{TAG}"' in page
        body = page.partition("<body")[2].partition(">")[2]
        title = re.findall("<title>(.*?)</title>", page)
        labels = re.findall(r'aria-label="(.*?)"', body)
        said = html.unescape(re.sub(r"<[^>]*>", " ", body))
        assert set(english([*title, *labels, *re.split("|".join(map(re.escape, names)), said)])) <= {"Tenter", "D"}


@pytest.mark.one_database
@pytest.mark.parametrize("nature", ["minor", "words_only"])
def test_words_stand_beside_every_swatch_for_who_needs_them(owner, nature):
    row = Sitting.objects.get(client__name="Maren Tolliver")
    assert "medium vivid green" not in Browser().get(f"/screen/{link_of(row)}").text
    Client.objects.filter(pk=row.client_id).update(**{nature: True})
    page = Browser().get(f"/screen/{link_of(row)}").text
    sides = re.findall(r'<span class="name">[^<]+(<span class="words">[^<]+</span>)?', page)
    assert len(sides) == 20
    assert all(sides)
    assert ("provisional" in page) == (nature == "minor")


def test_a_client_who_goes_by_words_gets_them_before_the_reveal_too(begin):
    row = begin(words_only=True)
    assert Browser().get(f"/screen/{link_of(row)}").text.count('class="words"') == 2


def test_after_all_was_undone_the_screen_is_calm_again(begin):
    row = begin(entries=1, seed=4)
    Sitting.objects.filter(pk=row.pk).update(revealed_at=timezone.now())
    assert "Question 1 of" in Browser().get(f"/screen/{link_of(row)}").text


def test_the_stream_says_when_something_changed_and_nothing_else(begin, monkeypatch):
    row = begin(entries=1, seed=2)
    monkeypatch.setattr(screen_views, "_LOOKS_EVERY", 0.0)
    monkeypatch.setattr(screen_views, "_LIVES", 4)

    async def watch():
        heard, changes = [], screen_views.changes(row.pk, row.token)
        heard.append(await anext(changes))
        await Sitting.objects.filter(pk=row.pk).aupdate(revealed_at=timezone.now())
        heard += [said async for said in changes]
        return heard

    heard = async_to_sync(watch)()
    assert heard == ["event: change\ndata: 1a\n\n", "event: change\ndata: 1b\n\n"]
    assert screen_views.version(row.pk) == "1b"


def test_one_look_is_one_query(begin, django_assert_num_queries):
    row = begin()
    with django_assert_num_queries(1):
        screen_views.version(row.pk)


def test_a_stream_ends_by_itself(begin, monkeypatch):
    row = begin()
    monkeypatch.setattr(screen_views, "_LOOKS_EVERY", 0.0)
    monkeypatch.setattr(screen_views, "_LIVES", 31)

    async def heard():
        async with asyncio.timeout(5):
            return [said async for said in screen_views.changes(row.pk, row.token)]

    assert async_to_sync(heard)() == ["event: change\ndata: 0a\n\n", ": still here\n\n", ": still here\n\n"]


def test_a_stream_ends_when_the_sitting_is_erased(begin, monkeypatch):
    row = begin()
    monkeypatch.setattr(screen_views, "_LOOKS_EVERY", 0.0)

    async def heard():
        changes = screen_views.changes(row.pk, row.token)
        first = await anext(changes)
        await Sitting.objects.filter(pk=row.pk).adelete()
        return [first, *[said async for said in changes]]

    assert async_to_sync(heard)() == ["event: change\ndata: 0a\n\n"]


def test_a_stream_ends_when_another_link_is_made(begin, monkeypatch):
    row = begin()
    monkeypatch.setattr(screen_views, "_LOOKS_EVERY", 0.0)

    async def heard():
        changes = screen_views.changes(row.pk, row.token)
        first = await anext(changes)
        await Sitting.objects.filter(pk=row.pk).aupdate(token="another")
        return [first, *[said async for said in changes]]

    assert async_to_sync(heard)() == ["event: change\ndata: 0a\n\n"]
