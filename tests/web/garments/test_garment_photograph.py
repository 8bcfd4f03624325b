"""Can I wear this, asked by a photograph: answered as by the command, sealed meanwhile, and not kept unless asked."""

from datetime import timedelta

import numpy as np
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from tenter.consultation.client.consent import Purpose
from tenter.consultation.garments.check import check_garment
from tenter.photo.cloth.measure import measure_cloth
from tenter.photo.files.loading import photo_from_bytes
from tenter.report.on_screen.garment_words import garment_words
from tenter.web.backups import holdings
from tenter.web.backups.picture_files import PictureFiles
from tenter.web.models import Access, Associate, AuditEntry, Picture, Sitting, ThingPhotograph
from tenter.web.models.kinds import kinds_with_files, measured_kinds, picture_kinds
from tenter.web.papers import handed
from tenter.web.pictures import cloth_measuring, queue, thing_measuring
from tenter.web.pictures import upload_limit as limits
from tenter.web.rules import consents
from tenter.web.sweeping import photo_sweep
from tests.support.cloth_studio import print_picture, rack_picture, shaded_rack_picture
from tests.support.photo_studio import day_ahead
from tests.web.conftest import browser_of

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def row(client_row):
    return client_row.sittings.get()


@pytest.fixture
def send(visitor, row):
    def sent(content, **said):
        file = SimpleUploadedFile("jacket.jpg", content, "image/jpeg")
        fields = {"shows": "cloth", "chart": "classic24", "values": "mean-of-30", "picture": file} | said
        return visitor.post(f"/sittings/{row.pk}/garment", fields)

    return sent


def _day(ahead):
    return timezone.localdate() + timedelta(days=ahead)


def only():
    return ThingPhotograph.objects.get()


def test_the_answer_is_that_of_the_garment_check_and_the_photograph_is_gone(visitor, row, send, folder):
    answer = send(rack_picture())
    thing = only()
    assert answer["Location"] == f"/garments/{thing.pk}"
    assert (thing.state, thing.sitting, thing.deletes_on) == ("done", row, _day(1))
    assert not ThingPhotograph.with_picture().exists()
    assert holdings.of_studio().photographs == 0
    assert list((folder / "photographs").iterdir()) == []
    page = visitor.get(f"/garments/{thing.pk}").text.replace("&#x27;", "'")
    garment = thing_measuring.garment_of(cloth_measuring.cloth_result_of(thing))
    words = garment_words(check_garment(*handed.palette_and_known(row), garment))
    assert words.headline in page
    assert all(line in page for line in words.lines)
    assert "<img" not in page
    assert visitor.get(f"/garments/{thing.pk}/picture").status_code == 404


def test_what_is_kept_of_the_measurement_is_the_garment_that_was_read(send):
    send(rack_picture())
    measured = measure_cloth(photo_from_bytes(rack_picture(), "rack")).cloth
    [colour] = thing_measuring.garment_of(cloth_measuring.cloth_result_of(only())).colours
    assert np.allclose(colour.lab, measured.for_kit, atol=0.05)
    assert np.all(np.array(colour.half_width_90) >= np.array(measured.half_width_90) - 0.1)


def test_without_the_clients_consent_it_is_answered_and_not_kept(visitor, row, send, folder):
    row.client.consents.filter(purpose=Purpose.MEASURE).delete()
    page = visitor.get(f"/sittings/{row.pk}/garment").text
    assert 'name="keep"' not in page
    assert f'href="/people/{row.client_id}/consents"' in page
    assert send(rack_picture(), keep="on", deletes_on=day_ahead(20)).status_code == 302
    assert (only().state, only().kept) == ("done", False)
    assert list((folder / "photographs").iterdir()) == []


def test_none_is_taken_in_once_the_client_took_the_consent_back(visitor, row, send, owner):
    consents.take_back_consent(row.client, Purpose.MEASURE, owner)
    page = visitor.get(f"/sittings/{row.pk}/garment").text
    assert 'name="picture"' not in page
    assert "o consent to “Photographs kept and measured”: taken back" in page
    assert send(rack_picture()).status_code == 409
    assert not ThingPhotograph.objects.exists()


def test_one_that_is_to_be_kept_is_sealed_shown_and_read_another_way(visitor, send, folder):
    send(rack_picture(), keep="on", deletes_on=day_ahead(20))
    thing = only()
    assert thing.deletes_on == _day(20)
    assert list(ThingPhotograph.with_picture()) == [thing]
    assert holdings.of_studio().photographs == 1
    [file] = (folder / "photographs").iterdir()
    assert b"JFIF" not in file.read_bytes()
    assert visitor.get(f"/garments/{thing.pk}/picture")["Content-Type"] == "image/jpeg"
    corners = "[[560, 80], [670, 80], [670, 290], [560, 290]]"
    visitor.post(f"/garments/{thing.pk}/again", {"shows": "cloth", "outline": corners})
    before, after = thing.result, only().result
    assert cloth_measuring.cloth_result_of(only()).where.outline[0] == (560.0, 80.0)
    assert before != after
    assert visitor.post(f"/garments/{thing.pk}/again", {"shows": "cloth", "outline": "[[1, 2]]"}).status_code == 422


def test_a_print_is_answered_for_the_colours_that_are_near_the_face(visitor, send):
    send(print_picture(), shows="print")
    address = f"/garments/{only().pk}"
    assert visitor.get(address).text.count('type="checkbox"') == 2
    chosen = visitor.get(address, {"near": ["2", "9", "x"]})
    assert chosen.context["parts"] == [(1, False), (2, True)]
    row = only().sitting
    garment = thing_measuring.garment_of(cloth_measuring.cloth_result_of(only()))
    assert chosen.context["words"] == garment_words(check_garment(*handed.palette_and_known(row), garment, [2]))


def test_one_that_cannot_be_read_says_what_to_do_and_stays_to_be_marked_until_tomorrow(visitor, send, folder):
    send(shaded_rack_picture())
    thing = only()
    page = visitor.get(f"/garments/{thing.pk}").text
    assert thing.state == "refused"
    assert "The photo could not be read." in page
    assert "or take it again" in page
    assert "<img" in page
    assert [path.name for path in (folder / "photographs").iterdir()] == [thing.name]


def test_the_day_after_nothing_is_left_of_it(send, monkeypatch):
    send(rack_picture())
    tomorrow = _day(1)
    monkeypatch.setattr(timezone, "localdate", lambda *_: tomorrow)
    assert [thing.pk for thing in photo_sweep.due_photographs()] == [only().pk]


def test_it_is_erased_at_once_with_the_client_or_by_the_button(visitor, send, client_row, folder):
    send(rack_picture(), keep="on")
    assert "erased" in visitor.post(f"/garments/{only().pk}/erase", follow=True).text
    assert not ThingPhotograph.objects.exists()
    assert list((folder / "photographs").iterdir()) == []
    send(rack_picture())
    assert AuditEntry.objects.filter(action="photograph added").count() == 2
    client_row.delete()
    assert not ThingPhotograph.objects.exists()


@pytest.mark.parametrize("end", ["garment", "brought"])
def test_a_file_that_is_too_large_is_not_read(visitor, row, monkeypatch, end):
    monkeypatch.setattr(limits, "LARGEST_UPLOAD", 1000)
    file = SimpleUploadedFile("jacket.jpg", rack_picture(), "image/jpeg")
    answer = visitor.post(f"/sittings/{row.pk}/{end}", {"picture": file})
    assert (answer.status_code, "larger than" in answer.text) == (422, True)
    assert not ThingPhotograph.objects.exists()


def test_without_a_file_or_before_the_reveal_nothing_is_kept(visitor, row, send):
    answer = send(b"")
    assert answer.status_code == 422
    Sitting.objects.filter(pk=row.pk).update(revealed_at=None)
    assert send(rack_picture()).status_code == 409
    assert not ThingPhotograph.objects.exists()


def test_who_does_not_see_the_client_finds_no_such_photograph(send, owner, person, stranger):
    send(rack_picture())
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    for user in (bea, stranger):
        for end in ("", "/picture", "/state"):
            assert browser_of(user).get(f"/garments/{only().pk}{end}").status_code == 404
        assert browser_of(user).post(f"/garments/{only().pk}/erase").status_code == 404
    Access.objects.create(client=only().sitting.client, user=bea)
    assert browser_of(bea).get(f"/garments/{only().pk}").status_code == 200
    assert browser_of(bea).post(f"/garments/{only().pk}/erase").status_code == 404  # it is another's
    assert only().state == "done"
    assert timezone.now() - only().taken_at < timedelta(days=1)


def test_every_kind_of_picture_is_swept_sealed_anew_backed_up_and_put_in_line():
    kinds = set(Picture.__subclasses__())
    assert ThingPhotograph in kinds
    assert kinds == set(picture_kinds())
    assert kinds < set(kinds_with_files())
    assert kinds <= set(measured_kinds()) == set(queue._MEASURE)
    rows = {kind: kind(pk=1) for kind in kinds}
    files = PictureFiles.of(lambda kind: [rows[kind]] if kind in rows else [])
    assert files.known == {row.name for row in rows.values()}
