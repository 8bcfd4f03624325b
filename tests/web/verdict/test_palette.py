"""The palette's page: what hangs, what the consultant changes, that every change can be undone and none is lost."""

import html
from itertools import count

import pytest

from tenter.consultation.personal.edits import colour_key
from tenter.consultation.personal.edits_file import read_edits
from tenter.web.backups.backup import write_backup
from tenter.web.backups.restore import restore
from tenter.web.models import Access, Associate, Client, PaletteEdit, Sitting
from tenter.web.papers import handed, palette_edits
from tenter.web.store import store
from tests.web.conftest import browser_of

_KEYS = count()
CORAL = {"act": "add", "typed": "#ff6a4d", "name": "my coral", "part": "near_face"}


@pytest.fixture
def row(owner):
    return Client.objects.get(name="Ilse Varnholt").sittings.get()


@pytest.fixture
def send(owner, row):
    browser = browser_of(owner)
    return lambda **said: browser.post(f"/sittings/{row.pk}/palette/edit", {"key": f"k{next(_KEYS)}"} | said)


def keys(row):
    return [colour_key(c) for c in handed.palette_of_sitting(row).colours]


def test_every_colour_hangs_with_its_name_and_how_it_is_known(owner, row):
    page = html.unescape(browser_of(owner).get(f"/sittings/{row.pk}/palette").text)
    made = handed.palette_of_sitting(row)
    assert f"{len(made.colours)} colours" in page
    assert all(c.name in page for c in (*made.colours, *made.metals))
    assert all(s.name.capitalize() in page for s in made.staples)
    assert page.count("seen on the client") > page.count("chosen by you")


def test_the_changes_are_given_as_a_file_that_the_command_line_takes(owner, row, send, tmp_path):
    browser = browser_of(owner)
    assert "changes.json" not in browser.get(f"/sittings/{row.pk}/palette").text
    send(**CORAL)
    send(act="drop", colour=keys(row)[3])
    assert f"/sittings/{row.pk}/changes.json" in browser.get(f"/sittings/{row.pk}/palette").text
    (tmp_path / "changes.json").write_bytes(browser.get(f"/sittings/{row.pk}/changes.json").content)
    assert read_edits(tmp_path / "changes.json") == palette_edits.edits_of(row)
    assert len(palette_edits.edits_of(row)) == 2


def test_a_colour_that_is_held_says_what_was_seen_of_it(owner, row):
    seen = next(c for c in handed.palette_of_sitting(row).colours if c.cloth)
    page = html.unescape(browser_of(owner).get(f"/sittings/{row.pk}/palette", {"colour": seen.cloth}).text)
    assert seen.answer in page
    assert "Swap for" in page


def test_drop_swap_add_and_move_are_kept_and_undone_one_by_one(row, send):
    before = keys(row)
    found = [before]
    changes = (
        {"act": "drop", "colour": before[4]},
        {"act": "swap", "colour": before[9], "typed": "D001"},
        CORAL,
        {"act": "move", "colour": before[20], "before": before[0]},
    )
    for change in changes:
        assert send(**change).status_code == 302
        found.append(keys(row))
    assert before[4] not in found[1]
    assert found[2][found[1].index(before[9])] == "D001"
    assert len(found[3]) == len(found[2]) + 1
    assert found[4][0] == before[20]
    chosen = [c for c in handed.palette_of_sitting(row).colours if c.chosen]
    assert {c.name for c in chosen} >= {"my coral"}
    assert len(chosen) == 2
    for earlier in reversed(found[:-1]):
        assert send(act="undo").status_code == 302
        assert keys(row) == earlier
    assert PaletteEdit.objects.filter(sitting=row).count() == 2 * len(changes)  # nothing is lost


def test_the_same_key_is_one_change(row, send):
    first = keys(row)[0]
    for _ in range(2):
        send(act="drop", colour=first, key="once")
    assert len(palette_edits.edits_of(row)) == 1


@pytest.mark.parametrize(
    ("said", "problem"),
    [
        ({"act": "undo"}, "no change of this palette left"),
        ({"act": "paint"}, "'paint'"),
        ({"act": "drop"}, "which colour"),
        ({"act": "add", "typed": "coral-ish"}, "'coral-ish' cannot be read here"),
        ({"act": "add"}, "no colour was entered"),
        ({"act": "add", "lab": "1 2"}, "that the page offered"),
        ({"act": "add", "lab": "50 0 nan"}, "of a chosen colour is a finite number"),
        ({"act": "add", "typed": "D001", "part": "metal"}, "'metal'"),
        ({"act": "drop", "colour": "D026", "key": ""}, "without a valid key"),
    ],
)
def test_what_cannot_be_is_said_and_nothing_is_kept(row, send, said, problem):
    answer = send(**said)
    assert answer.status_code == 422
    assert problem in html.unescape(answer.text).replace(problem[:1].upper() + problem[1:], problem)
    assert not PaletteEdit.objects.exists()


def test_what_is_handed_over_follows_the_changes(owner, row, send):
    send(**CORAL)
    assert "my coral" in browser_of(owner).get(f"/sittings/{row.pk}/palette").text
    assert any(c.name == "my coral" for c in handed.palette_of_sitting(row).colours)


def test_before_the_reveal_there_is_only_the_offer(owner, row, send):
    Sitting.objects.filter(pk=row.pk).update(revealed_at=None)
    page = browser_of(owner).get(f"/sittings/{row.pk}/palette").text
    assert "Reveal the verdict" in page
    assert "hung-name" not in page
    send(**CORAL)
    assert not PaletteEdit.objects.exists()


def test_whoever_is_let_in_sees_it_and_only_its_analyst_changes_it(owner, row, person):
    associate = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=associate)
    Access.objects.create(client=row.client, user=associate)
    browser = browser_of(associate)
    page = browser.get(f"/sittings/{row.pk}/palette")
    assert page.status_code == 200
    assert "<form" not in page.text.split("palette-head")[1]
    assert browser.post(f"/sittings/{row.pk}/palette/edit", CORAL | {"key": "x"}).status_code == 404


@pytest.mark.usefixtures("folder", "replayed_once")
def test_a_backup_brings_the_changes_back(owner, row, send, tmp_path):
    owner.is_superuser = True
    owner.save()
    Client.objects.exclude(pk=row.client_id).delete()
    send(**CORAL)
    send(act="drop", colour=keys(row)[0])
    send(act="undo")
    before = keys(row)
    write_backup(tmp_path / "all.zip")
    restore(tmp_path / "all.zip", replace=True)
    store.forget_sittings()
    again = Sitting.objects.get(pk=row.pk)
    assert keys(again) == before
    assert again.palette_edits.count() == 3
