"""Two cloths in turn: a series from upload or kept photographs to its page, told or not, corrected and let go of."""

import io
import json
from pathlib import Path

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import Image

from tenter.consultation.client.consent import Purpose
from tenter.photo.regions.regions import Region
from tenter.photo.series.measure import measure_series
from tenter.web.models import AuditEntry, Photograph, PhotoSeries
from tenter.web.pictures import queue, series_measuring
from tenter.web.rules import consents
from tenter.web.sealing import passphrase
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.store import store
from tenter.web.sweeping import photo_sweep
from tests.support.photo_studio import day_ahead, send, sent
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")

SERIES = Path(__file__).parents[2] / "data" / "series"
NAMES = ("a1.jpg", "b2.jpg", "a3.jpg", "b4.jpg")


def small(name):
    """A photograph of the series: the same pixels, by another name."""
    return (SERIES / name).read_bytes()


def files(*names):
    """The series as a camera names it; a browser may send it in any order."""
    found = [SimpleUploadedFile(f"IMG_{9 + i}.jpg", small(name), "image/jpeg") for i, name in enumerate(names or NAMES)]
    return found[::-1]


def ask(visitor, client, **said):
    fields = {
        "cloth_a": "D002",
        "cloth_b": "D001",
        "pattern": "abab",
        "chart": "classic24",
        "deletes_on": day_ahead(),
    } | said
    sent_fields = {name: value for name, value in fields.items() if value is not None}
    return visitor.post(f"/people/{client.pk}/series/photographs", sent_fields)


@pytest.fixture
def row(visitor, client_row):
    answer = ask(visitor, client_row, files=files())
    assert answer.status_code == 302, dict(answer.context["form"].errors)
    return PhotoSeries.objects.get(pk=answer["Location"].rsplit("/", 1)[1])


@pytest.fixture(scope="module")
def truth():
    return measure_series([SERIES / name for name in NAMES], "ABAB").to_json()


# -- from upload to page -----------------------------------------------------------------------------------------------


def test_four_new_photographs_are_kept_measured_and_told(visitor, client_row, row, truth):
    assert (row.state, row.progress, row.pattern) == ("done", 100, "ABAB")
    found = series_measuring.series_result_of(row).document
    assert found["regions"] == truth["regions"]
    page = visitor.get(f"/series/{row.pk}")
    told = {region.name for region in page.context["regions"] if region.told}
    assert told == {"chin", "left jaw", "right jaw"}
    assert "D001 changes: " in page.text
    jaw = truth["regions"][Region.JAW_LEFT]
    low, high = jaw["interval_90"][0]
    assert f"{jaw['delta_lab'][0]:+.1f} ±\u00a0{(high - low) / 2:.1f}" in page.text
    assert "cannot tell; anything below" in page.text
    assert "it decides no season" in page.text
    assert page["Cache-Control"] == "max-age=0, no-cache, no-store, must-revalidate, private"
    photographs = list(Photograph.objects.order_by("frames__place"))
    assert [p.state for p in photographs] == ["done"] * 4, "each is measured by itself too"
    assert f"/series/{row.pk}" in visitor.get(f"/people/{client_row.pk}/photographs").text


def test_what_was_measured_is_sealed(row):
    assert b"regions" not in bytes.fromhex(row.result)
    assert "D001" not in AuditEntry.objects.get(action="series of photographs added").subject


def test_kept_photographs_make_a_series_in_the_order_they_were_taken(visitor, client_row, row, truth):
    kept = list(Photograph.objects.order_by("frames__place").values_list("pk", flat=True))
    answer = ask(visitor, client_row, kept=kept[::-1], deletes_on=None)
    other = PhotoSeries.objects.get(pk=answer["Location"].rsplit("/", 1)[1])
    assert other.pk != row.pk
    assert series_measuring.series_result_of(other).document["regions"] == truth["regions"]
    assert Photograph.objects.count() == 4


def test_one_cloth_twice_cannot_be_told(visitor, client_row):
    found = [anew(name, quality) for quality in (95, 92) for name in ("a1.jpg", "a3.jpg")]
    same = [SimpleUploadedFile(f"{k}.jpg", content, "image/jpeg") for k, content in enumerate(found)]
    answer = ask(visitor, client_row, files=same, pattern="ABBA")
    page = visitor.get(answer["Location"])
    assert [region for region in page.context["regions"] if region.told] == []
    assert "Cannot tell: no region differs" in page.text


def anew(name, quality):
    """A photograph of the series encoded again: nearly the same pixels in another file."""
    out = io.BytesIO()
    Image.open(io.BytesIO(small(name))).save(out, "JPEG", quality=quality, subsampling=0)
    return out.getvalue()


def test_one_photograph_twice_is_refused_new_or_kept(visitor, client_row):
    answer = ask(visitor, client_row, files=files("a1.jpg", "b2.jpg", "a1.jpg", "b4.jpg"))
    assert "IMG_11.jpg and IMG_9.jpg are the same photograph" in answer.text
    assert not PhotoSeries.objects.exists()
    for name in ("a1.jpg", "b2.jpg", "a1.jpg", "b4.jpg"):
        send(visitor, client_row, small(name))
    ask(visitor, client_row, kept=list(Photograph.objects.values_list("pk", flat=True)), deletes_on=None)
    row = PhotoSeries.objects.get()
    assert (row.state, row.result) == ("failed", "")
    assert "photographs 1 and 3 are the same one" in row.problem


def test_settings_that_were_not_locked_are_refused_with_what_to_do(visitor, client_row):
    found = files()
    rgb = np.asarray(Image.open(io.BytesIO(small("a3.jpg"))), dtype=float) * 0.8
    out = io.BytesIO()
    Image.fromarray(rgb.astype(np.uint8)).save(out, "JPEG", quality=95)
    found[1] = SimpleUploadedFile("IMG_11.jpg", out.getvalue(), "image/jpeg")
    page = visitor.get(ask(visitor, client_row, files=found)["Location"])
    assert PhotoSeries.objects.get().state == "refused"
    assert "not locked" in page.text
    assert "<tbody>" not in page.text


# -- what cannot be one ------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"deletes_on": None}, "deletes_on"),
        ({"deletes_on": day_ahead(0)}, "deletes_on"),
        ({"pattern": "AABB"}, "pattern"),
        ({"pattern": "ABABAB"}, "pattern"),
        ({"pattern": "ABAC"}, "pattern"),
        ({"cloth_b": "D002"}, "cloth_b"),
        ({"cloth_a": ""}, "cloth_a"),
        ({"chart": "grey"}, "chart"),
        ({"files": ()}, "files"),
    ],
)
def test_a_series_that_is_none_is_refused_and_nothing_is_kept(visitor, client_row, folder, said, field):
    answer = ask(visitor, client_row, **({"files": files()} | said))
    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    assert not PhotoSeries.objects.exists()
    assert not Photograph.objects.exists()
    assert not (folder / "photographs").exists() or list((folder / "photographs").iterdir()) == []


def test_an_odd_file_among_them_is_named(visitor, client_row):
    found = files()
    found[2] = SimpleUploadedFile("IMG_10.jpg", b"not a picture", "image/jpeg")
    answer = ask(visitor, client_row, files=found)
    assert "IMG_10.jpg" in " ".join(answer.context["form"].errors["files"])
    assert not Photograph.objects.exists()


def test_what_is_too_large_is_never_read_into_memory(visitor, client_row, monkeypatch):
    monkeypatch.setattr("tenter.web.pictures.upload_limit.LARGEST_UPLOAD", 50_000)
    answer = ask(visitor, client_row, files=files())
    assert "larger than" in " ".join(answer.context["form"].errors["files"])
    assert not Photograph.objects.exists()


@pytest.mark.parametrize("purpose", [Purpose.MEASURE, Purpose.COMPARE])
def test_without_consent_no_series_is_taken_in_and_none_is_shown(visitor, client_row, owner, row, purpose):
    consents.take_back_consent(client_row, purpose, owner)
    answer = ask(visitor, client_row, files=files())
    assert (answer.status_code, answer.context["lacking"].purpose) == (409, purpose)
    assert PhotoSeries.objects.count() == 1
    seen = 200 if purpose is Purpose.MEASURE else 404
    assert visitor.get(f"/series/{row.pk}").status_code == seen
    assert (f"/series/{row.pk}" in visitor.get(f"/people/{client_row.pk}/photographs").text) == (seen == 200)


def test_photographs_that_may_not_be_compared_are_not_offered(visitor, client_row):
    alone = sent(visitor, client_row, only=("measure", "sheet"))
    page = visitor.get(f"/people/{client_row.pk}/series/photographs").text
    assert 'name="kept"' not in page
    answer = ask(visitor, client_row, kept=[alone.pk] * 4)
    assert answer.status_code == 422


def test_without_a_key_nothing_is_kept(visitor, client_row, monkeypatch):
    sent(visitor, client_row)
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase("wool on the line"))
    assert ask(visitor, client_row, files=files()).status_code == 422
    assert "Photographs are locked" in visitor.get(f"/people/{client_row.pk}/series/photographs").text
    assert not PhotoSeries.objects.exists()


# -- in the background -------------------------------------------------------------------------------------------------


def test_what_a_killed_worker_left_is_measured_at_the_next_start(row):
    PhotoSeries.objects.filter(pk=row.pk).update(state="measuring", progress=30, result="")
    assert queue.put_all_in_line() == 1
    row.refresh_from_db()
    assert (row.state, row.turn) == ("done", 2)


def test_the_page_tells_how_far_it_is(visitor, row):
    PhotoSeries.objects.filter(pk=row.pk).update(state="measuring", progress=30)
    assert json.loads(visitor.get(f"/series/{row.pk}/state").content) == {
        "state": "measuring",
        "progress": 30,
        "waits": True,
    }
    assert f'data-waits="/series/{row.pk}/state"' in visitor.get(f"/series/{row.pk}").text


# -- put right, and let go of ------------------------------------------------------------------------------------------


def test_cloths_that_were_named_the_wrong_way_round_are_put_right(visitor, row, truth):
    said = {"cloth_a": "D001", "cloth_b": "D002", "pattern": "BABA"}
    assert visitor.post(f"/series/{row.pk}/again", said).status_code == 302
    row.refresh_from_db()
    assert (row.turn, row.pattern, row.cloth_a) == (2, "BABA", "D001")
    found = series_measuring.series_result_of(row).document["regions"][Region.JAW_LEFT]["delta_lab"]
    assert found == pytest.approx([-v for v in truth["regions"][Region.JAW_LEFT]["delta_lab"]], abs=0.01)
    assert visitor.post(f"/series/{row.pk}/again", said | {"pattern": "AABB"}).status_code == 422
    row.refresh_from_db()
    assert (row.turn, row.pattern) == (2, "BABA")


def test_it_goes_with_the_first_of_its_photographs(visitor, row):
    first = Photograph.objects.order_by("frames__place").first()
    Photograph.objects.filter(pk=first.pk).update(deletes_on=timezone.localdate())
    page = visitor.get(f"/series/{row.pk}").text
    assert f"the first of its photographs, on {timezone.localdate():%-d %B %Y}" in page
    photo_sweep.sweep()
    assert not PhotoSeries.objects.exists()
    assert Photograph.objects.count() == 3


def test_it_is_erased_and_its_photographs_stay(visitor, row):
    assert visitor.post(f"/series/{row.pk}/erase").status_code == 302
    assert not PhotoSeries.objects.exists()
    assert Photograph.objects.count() == 4
    assert AuditEntry.objects.filter(action="series of photographs erased").count() == 1


# -- nobody else -------------------------------------------------------------------------------------------------------


def test_to_a_stranger_no_series_exists(row, stranger, client_row):
    strange = browser_of(stranger)
    for page in ("", "/state"):
        assert strange.get(f"/series/{row.pk}{page}").status_code == 404
    for page in ("/again", "/erase"):
        assert strange.post(f"/series/{row.pk}{page}").status_code == 404
    assert strange.get(f"/people/{client_row.pk}/series/photographs").status_code == 404
    assert ask(strange, client_row, files=files()).status_code == 404
    assert PhotoSeries.objects.filter(pk=row.pk).exists()


def test_a_series_with_a_photograph_of_a_hidden_sitting_is_hidden(owner, row, client_row, stranger):
    first = client_row.sittings.get()
    client_row.accesses.create(user=stranger)
    store.start_sitting(client_row, stranger, first.kit, blind_to=first)
    reader = browser_of(stranger)
    assert reader.get(f"/series/{row.pk}").status_code == 200
    Photograph.objects.filter(frames__place=2).update(sitting=first)
    assert reader.get(f"/series/{row.pk}").status_code == 404
