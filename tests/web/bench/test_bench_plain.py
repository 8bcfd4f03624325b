"""The bench without scripts: flags, a void, a missing cloth and one's own choice are plain forms."""

from html.parser import HTMLParser

import pytest

from tenter.web.models import Client, KitRecord
from tenter.web.store import store
from tests.web.conftest import browser_of

pytestmark = pytest.mark.one_database

VOIDLESS = {"input", "meta", "link", "br"}


class Forms(HTMLParser):
    """The forms of a page as a browser without scripts offers them, without dialogs and what needs a script."""

    def __init__(self, page: str) -> None:
        super().__init__()
        self.found, self._open, self._hidden, self._summaries, self._title = [], None, [], [], None
        self.feed(page)

    def handle_starttag(self, tag, attrs):
        said = dict(attrs)
        if self._hidden:
            if tag not in VOIDLESS:
                self._hidden.append(tag)
            return
        if tag == "dialog" or "scripted" in said.get("class", "").split():
            self._hidden.append(tag)
        elif tag == "form":
            self._open = {"action": said["action"], "method": said["method"], "fields": [], "presses": [], "ticks": []}
            self.found.append(self._open)
        elif self._open and said.get("name"):
            field = (said["name"], said.get("value") or "")
            if tag == "button" and said.get("type", "submit") == "submit":
                self._open["presses"].append(field)
            elif said.get("type") == "checkbox":
                self._open["ticks"].append(field)
            elif said.get("type") != "radio" or "checked" in said:
                self._open["fields"].append(field)
        elif tag == "summary":
            self._title = ""

    def handle_data(self, data):
        if self._title is not None:
            self._title += data

    def handle_endtag(self, tag):
        if self._hidden:
            if self._hidden[-1] == tag:
                self._hidden.pop()
        elif tag == "form":
            self._open = None
        elif tag == "summary":
            self._summaries.append(self._title.strip())
            self._title = None

    @property
    def summaries(self):
        return self._summaries

    def with_press(self, name, value):
        """Return the form that has such a button."""
        [form] = [f for f in self.found if (name, value) in f["presses"]]
        return form

    def with_field(self, name):
        [form] = [f for f in self.found if name in dict(f["fields"])]
        return form


@pytest.fixture
def row(owner):
    return store.start_sitting(Client.objects.first(), owner, KitRecord.objects.get(), seed=7)


@pytest.fixture
def visit(owner, row):
    return Visit(browser_of(owner), row)


class Visit:
    def __init__(self, browser, row):
        self.browser, self.row = browser, row
        self.page = self.get()

    def get(self, **said):
        self.page = self.browser.get(f"/sittings/{self.row.pk}/bench", said).text
        return self.page

    @property
    def forms(self):
        return Forms(self.page)

    def send(self, form, press=None, ticks=(), **filled):
        """Send a form as a browser does, with the button that was pressed."""
        assert set(ticks) <= set(form["ticks"])
        assert press is None or press in form["presses"]
        fields = {}
        for name, value in [*form["fields"], *ticks, *([press] if press else [])]:
            fields.setdefault(name, []).append(filled.get(name, value))
        way = self.browser.post if form["method"] == "post" else self.browser.get
        answer = way(form["action"], fields, follow=True)
        self.page = answer.text
        return answer

    @property
    def pair(self):
        return dict(self.forms.with_field("cloths" if "answer" not in self.page else "kind")["fields"])[
            "cloths"
        ].split()

    @property
    def entries(self):
        with store.load(self.row) as live:
            return live.entries


def test_every_tool_stands_in_the_open(visit):
    left, _ = visit.pair
    visit.send(visit.forms.with_field("kind"), ("answer", f"{left} 2"))
    assert {"Flags and signs", "Cloth missing", "Void an entry", "Own choice", "More"} <= set(visit.forms.summaries)


def test_flags_and_signs_go_with_the_answer(visit):
    left, right = visit.pair
    ticks = [("flag", f"{left}:too-warm"), ("flag", f"{right}:depth-right"), ("sign", f"{right}:blotchy")]
    visit.send(visit.forms.with_field("kind"), ("answer", f"{right} 2"), ticks)
    [entry] = visit.entries
    assert {str(flag) for flag in entry.judgement.flags} == {f"{left}:too-warm", f"{right}:depth-right"}
    assert [str(sign) for sign in entry.judgement.signs] == [f"{right}:blotchy"]


def test_a_missing_cloth(visit):
    left, _ = visit.pair
    visit.send(visit.forms.with_field("kind"), ("act", f"missing {left}"))
    with store.load(visit.row) as live:
        assert live.held.missing == {left}
    assert left not in visit.pair


@pytest.mark.parametrize("way", ["button", "words"])
def test_an_entry_is_made_void_with_a_reason(visit, way):
    for side in (0, 1):
        visit.send(visit.forms.with_field("kind"), ("answer", f"{visit.pair[side]} 2"))
    form = visit.forms.with_field("number")
    reason = ("reason", "the light changed") if way == "button" else None
    answer = visit.send(form, reason, number="1", other="" if reason else "a cloud came")
    assert answer.status_code == 200
    assert [entry.void for entry in visit.entries] == ["the light changed" if reason else "a cloud came", None]


@pytest.mark.parametrize("cloths", ["D063 D064", "D073 D074 D075", "D092", "D061+D090 D062"])
def test_cloths_of_ones_own_choice(visit, cloths):
    [form] = [f for f in visit.forms.found if f["method"] == "get"]
    visit.send(form, cloths=cloths)
    main = visit.forms.with_field("kind")
    assert dict(main["fields"])["cloths"] == cloths
    side = cloths.split()[0]
    if cloths == "D092":
        visit.send(main, ("answer", "works"))
    elif cloths.count(" ") == 2:
        visit.send(main, answer=cloths.replace(" ", " > "))
    else:
        visit.send(main, ("answer", f"{side} 2"))
    assert len(visit.entries) == 1
    assert set(visit.entries[0].judgement.cloths) == set(cloths.replace("+", " ").split())


def test_a_wrong_number_is_told_and_nothing_is_held(visit):
    planned = visit.pair
    [form] = [f for f in visit.forms.found if f["method"] == "get"]
    answer = visit.send(form, cloths="D001 D999")
    assert answer.status_code == 422
    assert "D999" in visit.page
    assert visit.pair == planned


def test_the_end_is_a_plain_form_too(visit):
    form = visit.forms.with_field("back")
    assert form["action"].endswith("/end")
    visit.send(form)
    assert "This sitting ended on" in visit.page
    form = visit.forms.with_field("back")
    assert form["action"].endswith("/open")
    visit.send(form)
    assert visit.pair


def test_what_a_script_draws_anew_does_not_carry_them(visit):
    stage = visit.browser.get(f"/sittings/{visit.row.pk}/bench/state").json()["stage"]
    assert "unscripted" not in stage
    assert "unscripted" in visit.page
