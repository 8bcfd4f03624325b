"""The bench without a browser's scripts: every kind of entry, and what a page behind the sitting may do."""

import json
import re
from itertools import count

import pytest
from asgiref.sync import async_to_sync

from tenter.consultation.record.judgements import DrapeJudgement, FanJudgement
from tenter.consultation.record.no_evidence import Preference, VoidEntry
from tenter.consultation.words.answers import Answer, Source, View
from tenter.web.bench.bench_stream import event_numbers
from tenter.web.models import Client, KitRecord, SittingEvent
from tenter.web.store import store
from tests.web.conftest import browser_of

ODDS = re.compile(r"\b(spring|summer|autumn|winter|odds|probab\w*|warm\w*|cool\w*)\b|%", re.IGNORECASE)


@pytest.fixture
def row(owner):
    return store.start_sitting(Client.objects.first(), owner, KitRecord.objects.get(), seed=7)


@pytest.fixture
def bench(owner, row):
    return Bench(owner, row)


class Bench:
    """A device that stands on the bench page and has seen some event."""

    _keys = count()

    def __init__(self, user, row):
        self.browser, self.row, self.at = browser_of(user), row, f"/sittings/{row.pk}/bench"
        self.now = self.look()

    def look(self, query=""):
        return self.browser.get(f"{self.at}/state{query}").json()

    def ahead(self):
        return self.browser.get(f"{self.at}/ahead").json()

    def send(self, **said):
        said = {"key": f"key-{next(self._keys)}", "seen": self.now["event"]} | said
        answer = self.browser.post(f"{self.at}/entry", said, headers={"accept": "application/json"})
        if answer.status_code == 200:
            self.now = answer.json()
        return answer

    def answer(self, side=0, strength=1, **said):
        ids = [cloth["id"] for cloth in self.now["cloths"]]
        return self.send(**{"kind": "pair", "cloths": " ".join(ids), "answer": f"{ids[side]} {strength}"} | said)

    @property
    def held(self):
        return tuple(cloth["id"] for cloth in self.now["cloths"])

    @property
    def entries(self):
        with store.load(self.row) as live:
            return live.entries


def test_the_page_shows_the_proposed_pair_and_works_as_a_plain_form(owner, row, bench):
    with store.load(row) as live:
        left, right = live.propose()
        names = [live.kit[cloth].name for cloth in (left, right)]
    page = bench.browser.get(bench.at).text
    assert bench.held == (left, right)
    assert all(name in page for name in names)
    assert "rail" in page or "drawer" in page
    assert "Undertone" in page
    assert "0 entries" in page
    fields = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)"', page.split('<dialog id="notes"')[0]))
    sent = bench.browser.post(f"{bench.at}/entry", fields | {"answer": f"{right} 2"})
    assert (sent.status_code, sent.url) == (302, bench.at)
    [entry] = bench.entries
    assert (entry.judgement.answer, entry.judgement.strength, entry.judgement.sides) == (
        Answer.RIGHT, 2, ((left,), (right,)),
    )  # fmt: skip
    bench.browser.post(f"{bench.at}/entry", fields | {"answer": f"{right} 2"})  # the same page sent twice
    assert len(bench.entries) == 1


@pytest.mark.parametrize("word", ["nothing-seen", "both-good", "both-wrong"])
def test_an_equal_answer_is_kept_as_itself(bench, word):
    ids = bench.held
    assert bench.send(kind="pair", cloths=" ".join(ids), answer=word).json()["entries"] == 1
    assert bench.entries[0].judgement.answer == word
    assert set(bench.held) != set(ids)


def test_an_entry_is_in_the_rows_before_it_is_acknowledged(bench, row):
    ids = bench.held
    assert bench.answer(1, 3, waited="0").json()["saved"]
    [event] = SittingEvent.objects.filter(sitting=row)
    assert event.payload["judgement"]["right"] == ids[1]
    store.forget_sittings()
    assert bench.entries[0].judgement.strength == 3
    assert f"{ids[1]}" in bench.now["last"]
    assert "strongly better than" in bench.now["last"]


def test_the_same_key_is_one_entry(bench):
    first = bench.answer(key="once").json()
    again = bench.send(key="once", seen=0, kind="pair", cloths="D063 D064", answer="D063 1").json()
    assert len(bench.entries) == 1
    assert again["last"] == first["last"]


def test_flags_signs_view_and_minute_are_kept(bench, row):
    left, right = bench.held
    row.started = row.started.replace(year=row.started.year - 1)
    row.save()
    bench.answer(0, 2, flags=f"{left}:depth-right {right}:too-warm", signs=f"{right}:blotchy", view="split")
    said = bench.entries[0].judgement
    assert [str(f) for f in said.flags] == [f"{left}:depth-right", f"{right}:too-warm"]
    assert [str(s) for s in said.signs] == [f"{right}:blotchy"]
    assert said.view is View.SPLIT
    assert said.minute >= 364 * 24 * 60


def test_a_late_entry_tells_the_minute_in_which_it_was_given(bench, row):
    row.started = row.started.replace(year=row.started.year - 1)
    row.save()
    bench.answer(waited=str(60_000))
    bench.answer(waited="0")
    earlier, later = (entry.judgement.minute for entry in bench.entries)
    assert later - earlier == pytest.approx(1.0, abs=0.2)


def test_a_half_face_view_asks_to_be_exchanged_and_is_offered(bench):
    left, right = bench.held
    bench.answer(view="split")
    assert bench.now["exchange"] == [f"{right} {left}"]
    offered = bench.look(f"?cloths={right}+{left}")
    assert [c["id"] for c in offered["cloths"]] == [right, left]
    bench.send(kind="pair", cloths=f"{right} {left}", answer=f"{left} 1", view="split")
    assert bench.now["exchange"] == []


def test_answers_of_the_client_and_a_third_person_are_kept_apart(bench, row):
    for source in (Source.CLIENT, Source.THIRD):
        bench.answer(source=str(source))
    assert [(e.judgement.source) for e in bench.entries] == [Source.CLIENT, Source.THIRD]
    assert (bench.now["entries"], bench.now["evidence"], bench.now["client"], bench.now["third"]) == (2, 0, 1, 1)
    with store.load(row) as live:
        fresh = type(live)(live.kit, live.method, seed=row.seed)
        assert live.probabilities() == fresh.probabilities()


def test_fans_single_cloths_combinations_and_likings(bench):
    assert bench.send(kind="fan", cloths="D073 D074 D075", answer="D074 > D073 = D075").status_code == 200
    assert bench.send(kind="single", cloths="D092", answer="tolerable").status_code == 200
    assert bench.send(kind="pair", cloths="D061+D090 D062", answer="D061+D090 2").status_code == 200
    assert bench.send(act="liked D011").status_code == 200
    fan, single, both, liked = (entry.judgement for entry in bench.entries)
    assert isinstance(fan, FanJudgement)
    assert fan.ranks == ((("D074",),), (("D073",), ("D075",)))
    assert isinstance(single, DrapeJudgement)
    assert single.suits == "tolerable"
    assert both.left == ("D061", "D090")
    assert both.strength == 2
    assert isinstance(liked, Preference)
    assert bench.now["evidence"] == 3


def test_own_choice_is_shown_by_what_it_is(bench):
    kinds = {"D063+D064": "pair", "D063%2BD064+D065": "pair", "D001": "single", "D001+D002+D003": "fan"}
    for query, kind in kinds.items():
        now = bench.look(f"?cloths={query}")
        assert (now["kind"], now["chosen"]) == (kind, True), query
    assert bench.look("?cloths=D063%2BD064+D065")["cloths"][0]["name"].count(" with ") == 1
    page = bench.browser.get(f"{bench.at}?cloths=D063+D999")
    assert page.status_code == 422
    assert "D999" in page.text
    assert bench.browser.get(f"{bench.at}/state?cloths=D063+D063").status_code == 422


def test_the_page_says_what_else_a_pair_differs_in(bench):
    told = "These cloths differ in more than one thing: depth and hue."
    assert told in bench.browser.get(f"{bench.at}?cloths=D063+D001").text
    assert "more than one thing" not in bench.browser.get(f"{bench.at}?cloths=D063+D064").text


def test_another_pair_is_asked_for_and_the_first_does_not_come_back(bench):
    seen = set()
    for _ in range(3):
        seen.add(frozenset(bench.held))
        bench.send(act="skip", cloths=" ".join(bench.held))
    seen.add(frozenset(bench.held))
    assert len(seen) == 4
    assert bench.now["entries"] == 0
    assert [e.void for e in bench.entries] == [VoidEntry.PASSED_OVER] * 3
    bench.send(act="undo")
    assert frozenset(bench.held) in seen


def test_undo_void_and_missing(bench):
    first = bench.held
    bench.answer()
    bench.send(act="undo")
    assert (bench.now["entries"], bench.held) == (0, first)
    assert bench.now["last"].startswith("entry 1 is taken back: ")
    gone = bench.held[0]
    bench.send(act=f"missing {gone}")
    assert bench.now["missing"] == [gone]
    assert gone not in bench.held
    bench.answer()
    bench.answer()
    bench.send(act="void", number=2, reason="wrong cloth was lifted")
    assert [e.void for e in bench.entries if not e.undone] == ["wrong cloth was lifted", None]
    assert (bench.now["entries"], [p["number"] for p in bench.now["recent"]]) == (1, [3])


@pytest.mark.parametrize(
    ("said", "word"),
    [
        ({"kind": "pair", "cloths": "D063 D063", "answer": "D063 1"}, "itself"),
        ({"kind": "pair", "cloths": "D063 D999", "answer": "D063 1"}, "D999"),
        ({"kind": "pair", "cloths": "D063 D064", "answer": "D065 1"}, "D065"),
        ({"kind": "pair", "cloths": "D063 D064", "answer": "D063 9"}, "1, 2 or 3"),
        ({"kind": "pair", "cloths": "D063 D064", "answer": "D063 1", "flags": "D063:too-blue"}, "too-blue"),
        ({"kind": "pair", "cloths": "D063 D064", "answer": "D063 1", "flags": "D063:too-warm D063:too-cool"}, "axis"),
        ({"kind": "pair", "cloths": "D063 D064", "answer": "D063 1", "source": "dog"}, "dog"),
        ({"kind": "pair", "cloths": "D063 D064", "answer": "D063 1", "seen": "x"}, "seen"),
        ({"kind": "pair", "cloths": "D063 D064", "answer": "D063 1", "key": ""}, "key"),
        ({"kind": "tune", "cloths": "D063 D064", "answer": "D063 1"}, "tune"),
        ({"act": "void", "number": "7", "reason": "x"}, "entry 7"),
        ({"act": "missing D999"}, "D999"),
        ({"act": "undo"}, "nothing to undo"),
        ({"act": "dance"}, "dance"),
    ],
)
def test_what_is_no_entry_is_refused_with_the_reason_and_nothing_is_kept(bench, said, word):
    answer = bench.send(**said)
    assert answer.status_code == 422
    assert word in answer.json()["problem"]
    plain = bench.browser.post(f"{bench.at}/entry", {"key": "plain", "seen": "0"} | said)
    assert plain.status_code == 422
    assert word in plain.text
    assert not SittingEvent.objects.filter(sitting=bench.row).exists()
    assert bench.answer().status_code == 200


def test_a_void_needs_a_reason(bench):
    bench.answer()
    assert "reason" in bench.send(act="void", number=1, reason="", other=" ").json()["problem"]
    assert bench.send(act="void", number=1, other="the phone rang").json()["last"] == "entry 1 is void: the phone rang"


def test_a_page_that_is_behind_is_told_so_and_nothing_is_counted_twice(owner, row, bench):
    other = Bench(owner, row)
    assert bench.held == other.held
    bench.answer(0)
    refused = other.answer(1)
    assert refused.status_code == 409
    assert "entry 1" in refused.json()["problem"]
    assert refused.json()["event"] == 1
    assert len(bench.entries) == 1
    assert other.send(act="undo").status_code == 409
    assert other.send(act="skip", cloths=" ".join(other.held)).status_code == 409
    assert [e.stands for e in bench.entries] == [True]


def test_a_page_that_is_behind_is_judged_by_the_cloths_it_showed(owner, row, bench):
    other = Bench(owner, row)
    bench.answer(0)
    kept = other.send(kind="pair", cloths="D001 D006", answer="D006 1").json()
    assert kept["moved"]
    assert [e.judgement.cloths for e in bench.entries][1] == ("D001", "D006")
    assert not bench.send(seen=2, kind="single", cloths="D092", answer="fails").json()["moved"]


def test_an_answer_that_was_taken_back_stands_in_nobodys_way(owner, row, bench):
    other = Bench(owner, row)
    bench.answer(0)
    assert bench.send(act="undo").status_code == 200
    assert other.answer(1).status_code == 200
    assert [e.undone for e in bench.entries] == [True, False]


def test_the_state_holds_no_odds(bench):
    for _ in range(4):
        bench.answer(0, 2)
    told = {name: value for name, value in {**bench.now, **bench.ahead()}.items() if name != "stage"}
    names = json.dumps([told.pop("cloths"), told.pop("drapes"), told.pop("recent"), told.pop("last")])
    assert not ODDS.search(json.dumps(told)), told
    assert not re.search(r"0\.\d\d", names)
    stage = re.sub(r'<dialog id="notes".*', "", bench.now["stage"], flags=re.DOTALL)
    assert not re.search(r"\b(odds|probab\w*|spring|summer|autumn|winter)\b|\d %", stage)


def test_phases_follow_the_method_and_the_verdict_is_linked(bench):
    phases = [bench.now["phase"]]
    for turn in range(30):
        bench.answer(turn % 2)
        phases.append(bench.now["phase"])
    assert list(dict.fromkeys(phases))[:3] == ["Undertone", "Clarity", "Sub-season"]
    assert 'id="to-verdict"' in bench.now["stage"]


def test_a_rest_is_advised_once_in_its_time(bench, row):
    row.started = row.started.replace(year=row.started.year - 1)
    row.save()
    bench.answer()
    assert bench.ahead()["advice"] == "Rest: look at plain grey for a minute before the next pair."
    bench.answer()
    assert bench.ahead()["advice"] == ""


def test_a_stranger_finds_nothing(stranger, row, bench):
    browser = browser_of(stranger)
    for address in ("", "/state", "/events"):
        assert browser.get(f"{bench.at}{address}").status_code == 404
    assert browser.post(f"{bench.at}/entry", {"key": "k", "act": "undo"}).status_code == 404


def test_the_stream_tells_each_new_event(bench, monkeypatch):
    monkeypatch.setattr("tenter.web.bench.bench_stream._EVERY_SECONDS", 0)
    bench.answer()

    async def look(looks):
        return [line async for line in event_numbers(bench.row.pk, looks)]

    assert async_to_sync(look)(3) == ["data: 1\n\n"]
    response = bench.browser.get(f"{bench.at}/events")
    assert response.headers["Content-Type"] == "text/event-stream"
    response.close()
