"""Two photographs on the papers: agreed to, chosen, and gone once one may not be printed."""

from datetime import timedelta

import numpy as np
import pytest
from django.utils import timezone

from tenter.consultation.client.consent import Purpose
from tenter.photo.together.side_by_side import SideBySide
from tenter.report.handing_over import papers as handing_papers
from tenter.report.handing_over.just_drawn import JustDrawn
from tenter.web.models import Client, Photograph, PrintedPair
from tenter.web.papers import handed, handed_papers, printed_pair
from tenter.web.pictures import measuring, pictures
from tenter.web.rules import consents
from tenter.web.sealing import photo_keys
from tenter.web.sweeping import photo_sweep
from tests.support.photo_studio import portrait
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def row(client_row):
    return client_row.sittings.get()


@pytest.fixture
def shoot(owner, client_row):
    """Keep a photograph as one that was measured and accepted."""

    def shoot(**said):
        fields = {"client": client_row, "by": owner, "chart": "classic24", "state": "done"}
        shot = Photograph.objects.create(**fields | said)
        pictures.keep_picture(shot.name, portrait())
        return shot

    return shoot


@pytest.fixture
def worked_out(monkeypatch):
    """Two pictures without a face being looked for; what comes of them can be changed."""
    picture = np.full((12, 10, 3), 128, np.uint8)
    found = {"is": SideBySide((picture, picture)), "cards": [], "foreheads": []}

    def side_by_side(photos, names, cards, foreheads):
        found["cards"], found["foreheads"] = list(cards), list(foreheads)
        return found["is"]

    monkeypatch.setattr(printed_pair, "side_by_side", side_by_side)
    return found


@pytest.fixture
def pair(row, owner, shoot, worked_out):
    best, less = shoot(), shoot()
    printed_pair.choose(row, best, less, owner)
    return best, less


def ask(browser, row, best, less):
    return browser.post(f"/sittings/{row.pk}/papers/photographs", {"best": best.pk, "less": less.pk})


# -- agreed to ---------------------------------------------------------------------------------------------------------


def test_a_minors_picture_is_printed_only_where_a_guardian_agreed(client_row, row, owner, shoot, worked_out):
    Client.objects.filter(pk=client_row.pk).update(minor=True)
    client_row.refresh_from_db()
    shot = shoot()
    assert printed_pair.offered_photographs(row, Photograph.objects.all()) == []
    consents.give_consent(client_row, [Purpose.PRINTED], consents.usual_end(), owner, "Orla Venn")
    assert printed_pair.offered_photographs(row, Photograph.objects.all()) == [shot]


# -- chosen ------------------------------------------------------------------------------------------------------------


def test_only_what_may_be_printed_is_offered(visitor, owner, row, shoot, worked_out):
    best, less = shoot(), shoot(chart="own", card="7")
    other = Client.objects.exclude(pk=row.client_id).first()
    yesterday = timezone.localdate() - timedelta(days=1)
    faults = {"purposes": ["measure", "sheet"]}, {"state": "refused"}, {"chart": "grey"}, {"deletes_on": yesterday}
    refused = [shoot(**fault) for fault in (*faults, {"client": other})]
    page = visitor.get(f"/sittings/{row.pk}/papers")
    assert {shot.pk for shot in page.context["able"]} == {best.pk, less.pk}
    for shot in refused:
        assert ask(visitor, row, best, shot).status_code == 404
    assert not PrintedPair.objects.exists()
    assert ask(visitor, row, best, less).status_code == 302
    chosen = PrintedPair.objects.get()
    assert (chosen.best, chosen.less, chosen.by) == (best, less, owner)
    assert [(card.kind, card.serial) for card in worked_out["cards"]] == [("classic24", None), ("own", 7)]
    assert "Take them off the papers" in visitor.get(f"/sittings/{row.pk}/papers").text


def test_each_is_printed_by_its_phone_and_compared_by_what_was_measured_of_it(
    row, owner, shoot, worked_out, monkeypatch
):
    best, less = shoot(phone="grey phone"), shoot()
    evenly = {best.pk: measuring.Corrections(), less.pk: measuring.Corrections(evenly_lit=True)}
    read = {"lab": [60.0, 14.0, 17.0], "lab_interval_90": [[58.0, 62.0], [13.0, 15.0], [16.0, 18.0]]}
    dropped = {"lab": None, "lab_interval_90": None, "reason": "left out, as you asked"}
    head = {"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2"}
    kept = {
        shot.pk: measuring.FaceResult({**head, "regions": {"forehead": forehead}}, {})
        for shot, forehead in ((best, read), (less, dropped))
    }
    monkeypatch.setattr(measuring, "face_corrections_of", lambda shot: evenly[shot.pk])
    monkeypatch.setattr(measuring, "camera_of_photograph", lambda shot: shot.phone or None)
    monkeypatch.setattr(measuring, "face_result_of", lambda shot: kept[shot.pk])
    printed_pair.choose(row, best, less, owner)
    assert [(card.camera, card.evenly_lit) for card in worked_out["cards"]] == [("grey phone", False), (None, True)]
    one, other = worked_out["foreheads"]
    assert (list(one.lab), list(one.half_width_90), other.lab) == ([60, 14, 17], [2, 1, 1], None)


def test_what_would_not_be_printed_is_not_chosen_and_the_reason_is_said(visitor, row, shoot, worked_out):
    best, less = shoot(), shoot()
    worked_out["is"] = SideBySide(None, "their light differs by more than the card can take out")
    answer = ask(visitor, row, best, less)
    assert (answer.status_code, PrintedPair.objects.count()) == (422, 0)
    assert "Not chosen: their light differs" in answer.text
    same = ask(visitor, row, best, best)
    assert "one photograph alone shows no difference" in same.text


def test_nobody_else_chooses(row, stranger, pair):
    best, less = pair
    assert ask(browser_of(stranger), row, less, best).status_code == 404
    assert PrintedPair.objects.get().best == best


# -- printed, and gone -------------------------------------------------------------------------------------------------


def test_both_papers_show_the_pair_and_reprints_of_before_do_not(owner, row, shoot, worked_out):
    before = handed_papers.note_papers(row, owner)
    printed_pair.choose(row, shoot(), shoot(), owner)
    shown = handed.paper_of(row).photographs
    assert shown.best.address.startswith("data:image/jpeg;base64,")
    assert handed.studio_sheet_of(row).photographs.best == shown.best
    after = handed_papers.note_papers(row, owner)
    assert after != before
    assert handed.paper_as_of(before).photographs is None
    assert handed.paper_as_of(after).photographs == shown
    assert handed_papers.note_papers(row, owner) == after


def withdrawn(visitor, shot):
    answer = visitor.post(f"/people/{shot.client_id}/consents/take-back", {"purpose": "printed"})
    assert answer.status_code == 302


def past(visitor, shot):
    Photograph.objects.filter(pk=shot.pk).update(deletes_on=timezone.localdate())


def erased(visitor, shot):
    photo_sweep.erase_pictures([shot], None)
    assert not PrintedPair.objects.exists()


def lost(visitor, shot):
    pictures.remove_picture(shot.name)


def taken_off(visitor, shot):
    visitor.post(f"/sittings/{PrintedPair.objects.get().sitting_id}/papers/photographs/leave")


@pytest.mark.parametrize("end", [withdrawn, past, erased, lost, taken_off])
def test_once_one_may_not_be_printed_no_paper_shows_either(visitor, owner, row, pair, end):
    noted = handed_papers.note_papers(row, owner)
    assert printed_pair.printed_pair(row) is not None
    end(visitor, pair[1])
    assert printed_pair.printed_pair(row) is None
    assert printed_pair.printed_pair(row, by=noted.at) is None
    assert visitor.get(f"/sittings/{row.pk}/papers").status_code == 200


def test_while_the_photographs_are_locked_the_page_says_that_papers_go_without(visitor, row, pair, monkeypatch):
    address = f"/sittings/{row.pk}/papers"
    assert "For now papers are printed without them" not in visitor.get(address).text
    monkeypatch.setattr(photo_keys, "problem", lambda: "the passphrase is not given")
    assert "For now papers are printed without them: the passphrase is not given." in visitor.get(address).text


def test_a_paper_with_photographs_is_kept_nowhere(row, pair, monkeypatch):
    kept = JustDrawn()
    monkeypatch.setattr(handing_papers, "_JUST_DRAWN", kept)
    monkeypatch.setattr(handing_papers, "client_paper_pdf", lambda *_: (b"%PDF-", ()))
    handed.papers(row)
    assert not kept._kept
    photo_sweep.erase_pictures(pair, None)
    handed.papers(row)
    assert len(kept._kept) == 1
