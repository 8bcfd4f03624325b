"""A photograph from upload to page: sealed, measured, shown to nobody else, refused plainly, corrected and used."""

import io
import json
from dataclasses import asdict, replace
from datetime import timedelta

import cv2
import numpy as np
import pytest
from django.contrib.auth.models import User
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone
from PIL import Image

from tenter.consultation.client.consent import MINORS_PHOTOGRAPH_DAYS, Purpose
from tenter.photo.cards import ChartKind
from tenter.photo.face.measure import measure_face
from tenter.photo.files.keeping import encoded, kept_picture, media_type, thumbnail
from tenter.photo.files.loading import photo_from_bytes
from tenter.web.models import AuditEntry, Client, KeepingTimes, KitRecord, MeasuredFace, Photograph, Sitting
from tenter.web.photographs.card_forms import last_card
from tenter.web.pictures import measuring, pictures, tries
from tenter.web.rules import consents
from tenter.web.sealing import passphrase, photo_keys, vault
from tenter.web.sealing.passphrase import Passphrase
from tenter.web.store import sheets, store
from tests.support.photo_studio import portrait, send, sent
from tests.web.conftest import PASSWORD, agreed, browser_of

pytestmark = pytest.mark.usefixtures("folder")


@pytest.fixture
def row(visitor, client_row):
    return sent(visitor, client_row)


def with_place(content, orientation=1, mode="RGB"):
    """The same picture with a place and a camera in its metadata."""
    picture = Image.open(io.BytesIO(content)).convert(mode)
    exif = picture.getexif()
    exif[0x010F] = "A camera of hers"
    exif[0x0112] = orientation
    exif.get_ifd(0x8825)[1] = "N"
    out = io.BytesIO()
    picture.save(out, "JPEG", exif=exif, quality=90, comment=b"A camera of hers")
    return out.getvalue()


# -- from upload to page -----------------------------------------------------------------------------------------------


def test_a_portrait_is_measured_and_its_page_shows_colours_with_intervals(visitor, row):
    assert (row.state, row.progress) == ("done", 100)
    page = visitor.get(f"/photographs/{row.pk}")
    truth = measure_face(photo_from_bytes(portrait(), "p"), ChartKind.CLASSIC24)
    colour = truth.regions["forehead"]
    said = page.context["shown"]["regions"][0]
    assert said["name"] == "forehead"
    value, half = said["values"][0]["text"].split(" ±\u00a0")
    assert float(value) == pytest.approx(colour.lab[0], abs=0.7)  # whole numbers
    assert float(half) == pytest.approx(colour.half_width_90[0], abs=0.3)
    assert said["values"][0]["text"] in page.text
    assert "Individual typology angle (ITA)" in page.text
    assert page.text.count('<g class="region" data-region=') > 10  # none is seen until it is asked for
    assert "region seen" not in page.text
    assert page.text.count('height="1" fill="#') == len(page.context["measured"])  # the colours together, until then
    one = visitor.get(f"/photographs/{row.pk}?region=lips").text
    assert one.count('<g class="region seen"') == 1
    assert "<strong data-name>Lips</strong>" in one
    assert "region seen" not in visitor.get(f"/photographs/{row.pk}?region=tail").text
    assert page["Cache-Control"] == "max-age=0, no-cache, no-store, must-revalidate, private"


@pytest.mark.parametrize("orientation", [1, 6])
@pytest.mark.parametrize("mode", ["RGB", "L"])
def test_what_is_kept_of_a_jpeg_is_the_same_picture_and_nothing_else(orientation, mode):
    content = with_place(portrait(), orientation, mode) + with_place(portrait("p2a.jpg"))  # and another one behind it
    kept, _ = kept_picture(content)
    assert kept.startswith(b"\xff\xd8")
    assert len(kept) < len(with_place(portrait(), orientation, mode))
    assert set(Image.open(io.BytesIO(kept)).getexif()) <= {0x0112}
    assert b"camera of hers" not in kept
    assert (photo_from_bytes(kept, "k").rgb == photo_from_bytes(content, "c").rgb).all()


@pytest.mark.parametrize(("form", "options"), [("TIFF", {"description": "Ilse"}), ("WEBP", {"xmp": b"Ilse"})])
def test_another_kind_is_kept_as_a_png_of_the_same_pixels(form, options):
    out = io.BytesIO()
    Image.open(io.BytesIO(portrait())).save(out, form, **options)
    assert b"Ilse" in out.getvalue()
    kept, _ = kept_picture(out.getvalue())
    assert media_type(kept) == "image/png"
    assert b"Ilse" not in kept
    assert (photo_from_bytes(kept, "k").rgb == photo_from_bytes(out.getvalue(), "c").rgb).all()


def test_a_webp_is_taken_and_measured_and_the_page_says_so(visitor, client_row):
    out = io.BytesIO()
    Image.open(io.BytesIO(portrait())).save(out, "WEBP", quality=92)
    answer = send(visitor, client_row, out.getvalue(), name="portrait.webp")
    row = Photograph.objects.get(pk=answer["Location"].rsplit("/", 1)[1])
    assert row.state == "done"
    page = visitor.get(f"/people/{client_row.pk}/photographs").text
    assert "JPEG, PNG, WebP, TIFF, HEIC or a raw file" in page
    assert 'accept="image/*,.webp,' in page


@pytest.mark.parametrize("mode", ["RGB", "L"])
def test_the_server_itself_unpacks_no_picture(visitor, client_row, monkeypatch, mode):
    content = with_place(portrait(), 6, mode)

    def unpacked_here(*given, **named):
        raise AssertionError("a picture was unpacked in the server")

    monkeypatch.setattr(Image, "open", unpacked_here)
    monkeypatch.setattr(cv2, "imdecode", unpacked_here)
    answer = send(visitor, client_row, content)
    for address in ("", "/picture", "/part", "/small"):
        assert visitor.get(f"{answer['Location']}{address}").status_code == 200


def test_on_the_disk_and_in_the_row_everything_is_sealed(visitor, client_row, folder):
    content = with_place(portrait())
    assert b"A camera of hers" in content
    answer = send(visitor, client_row, content, name="Ilse at home.jpg")
    row = Photograph.objects.get(pk=answer["Location"].rsplit("/", 1)[1])
    (file,) = (folder / "photographs").iterdir()
    assert file.name == row.name
    assert (file.stat().st_mode & 0o777, file.parent.stat().st_mode & 0o777) == (0o600, 0o700)
    kept = file.read_bytes()
    assert b"JFIF" not in kept
    assert b"forehead" not in bytes.fromhex(row.result)
    opened = pictures.shown_picture(row.name)
    assert opened.startswith(b"\xff\xd8")
    assert b"A camera of hers" not in opened
    assert not Image.open(io.BytesIO(opened)).getexif()
    for value in (row.problem, row.card, row.chart, json.dumps(row.purposes)):
        assert "Ilse" not in value


def test_the_picture_is_shown_and_kept_by_no_cache(visitor, row):
    for address in ("picture", "small"):
        answer = visitor.get(f"/photographs/{row.pk}/{address}")
        assert (answer.status_code, answer["Content-Type"], answer["Cache-Control"]) == (200, "image/jpeg", "no-store")
    assert max(Image.open(io.BytesIO(answer.content)).size) <= 480


def test_no_mesh_is_stored_but_outlines(row):
    result = measuring.face_result_of(row)
    text = json.dumps(result.document) + json.dumps(result.picture)
    assert "mesh" not in text
    assert "landmark" not in text
    assert "outlines_px" not in result.document
    for region in result.picture["regions"]:
        assert set(region) == {
            "number", "name", "outlines", "read", "hex", "values", "note"
        }  # fmt: skip


def test_sixteen_bits_stay_sixteen(visitor, client_row):
    rgb = np.asarray(Image.open(io.BytesIO(portrait())).convert("RGB"))
    photo = photo_from_bytes(portrait(), "p")
    fine = type(photo)(photo.rgb, 1.0, rgb.astype(np.uint16) * 257)
    kept = encoded(fine)
    assert media_type(kept) == "image/png"
    again = photo_from_bytes(kept, "k")
    assert again.fine is not None
    assert (again.fine == fine.fine).all()
    assert Image.open(io.BytesIO(thumbnail(kept))).mode == "RGB"


# -- refused -----------------------------------------------------------------------------------------------------------


def test_a_photograph_without_its_card_is_refused_with_the_reason_and_what_to_do(visitor, client_row):
    picture = Image.open(io.BytesIO(portrait()))
    out = io.BytesIO()
    picture.crop((0, 0, int(picture.width * 0.62), picture.height)).save(out, "JPEG", quality=95)
    answer = send(visitor, client_row, out.getvalue())
    page = visitor.get(answer["Location"])
    assert Photograph.objects.get().state == "refused"
    assert "Refused: please take it again" in page.text
    assert "Hold the card flat" in page.text
    assert "Only an accepted photograph can be used" in page.text


def bomb():
    out = io.BytesIO()
    Image.new("1", (30000, 30000)).save(out, "PNG")
    return out.getvalue()


@pytest.mark.parametrize(
    ("content", "match"),
    [
        (b"", "empty"),
        (b"not a picture", "picture"),
        (portrait()[:3000], "picture"),
        (bomb, "picture"),
        (b"\x89PNG\r\n\x1a\n" + bytes(500), "picture"),
    ],
    ids=["empty", "text", "cut", "bomb", "hollow"],
)
def test_odd_files_are_refused_plainly_and_nothing_is_kept(visitor, client_row, folder, content, match):
    answer = send(visitor, client_row, content() if callable(content) else content)
    assert answer.status_code == 422
    assert match in " ".join(answer.context["form"].errors["picture"])
    assert not Photograph.objects.exists()
    assert not (folder / "photographs").exists() or list((folder / "photographs").iterdir()) == []


def test_a_file_that_is_too_large_is_never_read_into_memory(visitor, client_row, monkeypatch):
    monkeypatch.setattr("tenter.web.pictures.upload_limit.LARGEST_UPLOAD", 50_000)
    answer = send(visitor, client_row, portrait())
    assert answer.status_code == 422
    assert "larger than" in " ".join(answer.context["form"].errors["picture"])
    assert "picture" not in answer.wsgi_request.FILES, "it was let pass by"
    assert not Photograph.objects.exists()


def test_other_uploads_know_no_such_limit(visitor, owner, monkeypatch):
    monkeypatch.setattr("tenter.web.pictures.upload_limit.LARGEST_UPLOAD", 10)
    owner.is_superuser = True
    owner.save()
    file = io.BytesIO(b"x" * 2000)
    file.name = "all.zip"
    assert "not a backup of Tenter" in visitor.post("/studio/restore", {"file": file}).text


# -- consent -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ({"chart": "wood"}, "chart"),
        ({"sitting": "999999"}, "sitting"),
    ],
)
def test_with_a_card_or_a_sitting_that_is_none_nothing_is_kept(visitor, client_row, said, field):
    answer = send(visitor, client_row, portrait(), **said)
    assert answer.status_code == 422
    assert field in answer.context["form"].errors
    assert not Photograph.objects.exists()


def test_without_consent_nothing_is_kept_and_the_page_says_which_is_missing(visitor, client_row, owner):
    consents.take_back_consent(client_row, Purpose.MEASURE, owner)
    answer = send(visitor, client_row, portrait())
    assert answer.status_code == 409
    assert "No consent to “Photographs kept and measured”: taken back on" in answer.text
    assert f'href="/people/{client_row.pk}/consents"' in answer.text
    assert 'name="picture"' not in answer.text
    assert not Photograph.objects.exists()


def test_a_photograph_is_promised_no_longer_than_the_consent_to_keep_it(visitor, client_row, owner):
    ends = timezone.localdate() + timedelta(days=20)
    consents.give_consent(client_row, [Purpose.MEASURE], ends, owner)
    answer = send(visitor, client_row, portrait())
    assert Photograph.objects.get().deletes_on == ends
    assert "the consent to keep it ends then" in visitor.get(answer["Location"]).text


def test_a_minors_photograph_needs_a_guardians_consent_and_is_deleted_sooner(visitor, client_row, owner):
    Client.objects.filter(pk=client_row.pk).update(minor=True)
    client_row.refresh_from_db()
    assert "no parent or guardian agreed by name" in send(visitor, client_row, portrait()).text
    consents.give_consent(client_row, [Purpose.ANALYSIS, Purpose.MEASURE], consents.usual_end(), owner, "Orla Venn")
    row = sent(visitor, client_row)
    assert (row.deletes_on - timezone.localdate()).days == MINORS_PHOTOGRAPH_DAYS
    assert row.purposes == []


def test_the_form_asks_for_no_consent_and_a_photograph_is_kept_for_as_long_as_the_studio_says(
    visitor, client_row, owner
):
    page = visitor.get(f"/people/{client_row.pk}/photographs")
    form = page.context["form"]
    assert not {*(str(purpose) for purpose in Purpose), "deletes_on", "counted"} & set(form.fields)
    assert f"{timezone.localdate() + timedelta(days=90):%-d %B %Y}" in page.text
    assert (sent(visitor, client_row).deletes_on - timezone.localdate()).days == 90
    KeepingTimes.objects.create(owner=owner, photograph_days=14)
    assert (
        f"{timezone.localdate() + timedelta(days=14):%-d %B %Y}"
        in visitor.get(f"/people/{client_row.pk}/photographs").text
    )
    assert (sent(visitor, client_row).deletes_on - timezone.localdate()).days == 14
    series = visitor.get(f"/people/{client_row.pk}/series/photographs").context["form"]
    assert (series["deletes_on"].value() - timezone.localdate()).days == 14


def test_the_file_alone_is_sent_with_the_card_of_the_studios_latest_photograph_and_the_open_sitting(visitor, owner):
    client = agreed(Client.objects.create(owner=owner, name="Ada"))
    address = f"/people/{client.pk}/photographs"
    sitting = store.start_sitting(client, owner, KitRecord.objects.get(), seed=7)
    page = visitor.get(address)
    assert page.context["form"]["sitting"].value() == sitting.pk
    assert "<noscript><p" in page.text.split("data-shoot")[1], "without scripts a button sends it"
    assert (page.context["form"]["chart"].value(), page.context["form"]["values"].value()) == (
        "classic24",
        "mean-of-30",
    )
    first = sent(visitor, client, values="2005")
    picture = SimpleUploadedFile("shot.jpg", portrait(), "image/jpeg")
    answer = visitor.post(address, {"camera": picture, "sitting": sitting.pk})
    row = Photograph.objects.get(pk=answer["Location"].rsplit("/", 1)[1])
    assert (row.chart, row.card, row.sitting_id) == (first.chart, "2005", sitting.pk)
    Photograph.objects.filter(pk=row.pk).update(chart="own", card="7")
    form = visitor.get(address).context["form"]
    assert (form["chart"].value(), form["own_number"].value()) == ("own", 7)
    assert last_card(owner) == {"chart": "own", "values": "mean-of-30", "own_number": 7}
    by_another = User.objects.create_user("Associate", password=PASSWORD)
    Photograph.objects.create(client=client, by=by_another, chart="grey", deletes_on=timezone.localdate())
    assert last_card(owner)["chart"] == visitor.get(address).context["form"]["chart"].value() == "grey"


def test_a_sittings_page_takes_a_photograph_of_it_until_it_ends(visitor, owner):
    client = agreed(Client.objects.create(owner=owner, name="Ada"))
    sitting = store.start_sitting(client, owner, KitRecord.objects.get(), seed=7)
    page = visitor.get(f"/sittings/{sitting.pk}").text
    assert f'action="/people/{client.pk}/photographs" data-shoot' in page
    assert f'<option value="{sitting.pk}" selected>' in page
    assert "Kept until" in page
    sitting.ended = timezone.now()
    sitting.save()
    assert "data-shoot" not in visitor.get(f"/sittings/{sitting.pk}").text


def test_no_photograph_in_the_log_by_name(visitor, row):
    line = AuditEntry.objects.first()
    assert (line.action, line.subject) == ("photograph added", f"photograph {row.pk}")


# -- the key -----------------------------------------------------------------------------------------------------------


def test_a_tampered_file_is_refused_and_everything_else_stands(visitor, row, folder):
    file = folder / "photographs" / row.name
    whole = file.read_bytes()
    for at in (0, 5, 20, 60, len(whole) - 1):
        file.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
        with pytest.raises((vault.Tampered, photo_keys.Locked)):
            pictures.shown_picture(row.name)
        assert visitor.get(f"/photographs/{row.pk}/picture").status_code == 404
    assert visitor.get(f"/photographs/{row.pk}").status_code == 200
    file.write_bytes(whole)
    assert visitor.get(f"/photographs/{row.pk}/picture").status_code == 200


def test_a_file_in_anothers_place_is_refused(visitor, client_row, row, folder):
    other = sent(visitor, client_row, "p2a.jpg")
    (folder / "photographs" / row.name).write_bytes((folder / "photographs" / other.name).read_bytes())
    with pytest.raises(vault.Tampered):
        pictures.shown_picture(row.name)
    Photograph.objects.filter(pk=row.pk).update(result=other.result)
    assert "damaged or was changed" in visitor.get(f"/photographs/{row.pk}").text


def test_two_of_one_picture_are_sealed_differently(visitor, client_row):
    one, other = (pictures.sealed_picture(sent(visitor, client_row).name) for _ in range(2))
    assert one[33:] != other[33:]


def test_by_another_passphrase_nothing_opens_and_nothing_is_lost(visitor, client_row, row, monkeypatch):
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase("wool on the line"))
    page = visitor.get(f"/photographs/{row.pk}")
    assert "not the one that the photographs were sealed with" in page.text
    assert visitor.get(f"/photographs/{row.pk}/picture").status_code == 404
    assert "Photographs are locked" in visitor.get(f"/people/{client_row.pk}/photographs").text
    assert send(visitor, client_row, portrait()).status_code == 422
    monkeypatch.setattr(passphrase, "GIVEN", Passphrase("linen on the line"))
    assert visitor.get(f"/photographs/{row.pk}/picture").status_code == 200
    assert Photograph.objects.count() == 1


# -- nobody else -------------------------------------------------------------------------------------------------------


def test_to_a_stranger_no_photograph_exists(row, stranger):
    strange = browser_of(stranger)
    for page in ("", "/picture", "/small", "/state"):
        assert strange.get(f"/photographs/{row.pk}{page}").status_code == 404
    for page in ("/again", "/date", "/erase", "/use"):
        assert strange.post(f"/photographs/{row.pk}{page}").status_code == 404
    assert Photograph.objects.filter(pk=row.pk).exists()


def test_a_blind_reader_does_not_see_the_photographs_of_the_reading_before_hers(owner, visitor, client_row, stranger):
    first = client_row.sittings.get()
    of_first, of_none = sent(visitor, client_row, sitting=str(first.pk)), sent(visitor, client_row, "p2a.jpg")
    client_row.accesses.create(user=stranger)
    store.start_sitting(client_row, stranger, first.kit, blind_to=first)
    reader = browser_of(stranger)
    assert reader.get(f"/photographs/{of_first.pk}").status_code == 404
    assert reader.get(f"/photographs/{of_none.pk}").status_code == 200


def test_who_was_let_in_for_a_second_reading_erases_nothing_but_her_own(owner, visitor, client_row, stranger):
    row = sent(visitor, client_row)
    client_row.accesses.create(user=stranger)
    store.start_sitting(client_row, stranger, client_row.sittings.get().kit, blind_to=client_row.sittings.get())
    reader = browser_of(stranger)
    hers = sent(reader, client_row, "p2a.jpg")
    assert "Erase" not in reader.get(f"/photographs/{row.pk}").text
    assert reader.post(f"/photographs/{row.pk}/erase").status_code == 404
    assert reader.post(f"/photographs/{row.pk}/date", {"deletes_on": "2026-12-01"}).status_code == 404
    assert "Erase those you may erase" in reader.get(f"/people/{client_row.pk}/photographs").text
    reader.post(f"/people/{client_row.pk}/photographs/erase")
    assert list(Photograph.objects.all()) == [row]
    assert "Erase it for good" in visitor.get(f"/photographs/{row.pk}").text
    assert hers.pk != row.pk


# -- corrected ---------------------------------------------------------------------------------------------------------


def test_a_region_is_left_out_and_measured_again(visitor, row):
    answer = visitor.post(f"/photographs/{row.pk}/again", {"drop": ["forehead", "lips"], "excluded": "[]", "hair": ""})
    assert answer.status_code == 302
    row.refresh_from_db()
    regions = measuring.face_result_of(row).document["regions"]
    assert regions["forehead"]["lab"] is None
    assert regions["chin"]["lab"] is not None
    assert row.turn == 2
    page = visitor.get(f"/photographs/{row.pk}").text
    assert 'value="forehead" id="drop-forehead" checked' in page


def test_what_is_drawn_around_is_not_read(visitor, row):
    before = measuring.face_result_of(row)
    (outline,) = before.picture["regions"][1]["outlines"][:1]
    size = np.array([before.picture["width"], before.picture["height"]])
    px = np.array(outline) * size
    (left, top), (right, bottom) = px.min(axis=0), px.max(axis=0)
    drawn = [[[left - 5, top - 5], [right + 5, top - 5], [right + 5, bottom + 5], [left - 5, bottom + 5]]]
    visitor.post(f"/photographs/{row.pk}/again", {"excluded": json.dumps(drawn)})
    row.refresh_from_db()
    after = measuring.face_result_of(row)
    key = list(after.document["regions"])[1]
    assert before.document["regions"][key]["lab"] is not None
    assert after.document["regions"][key]["lab"] is None
    assert after.document["regions"][key]["reason"]
    assert "[[" in visitor.get(f"/photographs/{row.pk}").context["excluded"]


@pytest.mark.parametrize("drawn", ["{", "[[[1,2],[3,4]]]", "[[[1,2],[3,4],[NaN,1]]]", "[[[1,2],[3,4],[1e9,1]]]", "[7]"])
def test_outlines_that_are_none_are_refused(visitor, row, drawn):
    answer = visitor.post(f"/photographs/{row.pk}/again", {"excluded": drawn})
    assert answer.status_code == 422
    row.refresh_from_db()
    assert (row.turn, row.state) == (1, "done")


# -- used --------------------------------------------------------------------------------------------------------------


@pytest.fixture
def sitting(client_row):
    row = client_row.sittings.get()
    Sitting.objects.filter(pk=row.pk).update(ended=None)
    return Sitting.objects.get(pk=row.pk)


def odds(sitting):
    with store.load(sitting) as live:
        return dict(live.probabilities())


def test_a_face_is_given_to_the_sheet_and_taken_out_and_no_odds_move(visitor, row, sitting):
    before, plain = odds(sitting), sheets.screen_of(sitting)
    assert plain.sheet.face.regions == ()
    assert visitor.post(f"/photographs/{row.pk}/use", {"sitting": sitting.pk}).status_code == 302
    told = sheets.screen_of(sitting)
    assert len(told.sheet.face.regions) >= 8
    assert odds(sitting) == before
    assert told.sheet.finding == plain.sheet.finding
    kept = MeasuredFace.objects.get()
    assert set(kept.colours) <= {"accepted", "basis", "illuminant", "observer", "ita_degrees", "regions"}
    assert set(kept.colours["regions"]["forehead"]) == {"lab", "lab_interval_90"}
    assert "has used this face since" in visitor.get(f"/photographs/{row.pk}").text
    assert visitor.post(f"/sittings/{sitting.pk}/face/leave").status_code == 302
    assert sheets.screen_of(sitting).sheet == plain.sheet
    assert [line.action for line in AuditEntry.objects.all()[:2]] == [
        "face taken out of a reading",
        "face given to a reading",
    ]


def test_without_consent_to_it_no_face_is_given(visitor, client_row, sitting):
    row = sent(visitor, client_row, only=("measure", "compare"))
    answer = visitor.post(f"/photographs/{row.pk}/use", {"sitting": sitting.pk})
    assert answer.status_code == 409
    assert not MeasuredFace.objects.exists()


def test_an_ended_sitting_and_anothers_take_no_face(visitor, row, client_row):
    assert visitor.post(f"/photographs/{row.pk}/use", {"sitting": client_row.sittings.get().pk}).status_code == 409
    other = Sitting.objects.exclude(client=client_row).first()
    for number in (other.pk, 10**6, "x", "9" * 40):
        assert visitor.post(f"/photographs/{row.pk}/use", {"sitting": number}).status_code == 404
    assert not MeasuredFace.objects.exists()


# -- beside one another ------------------------------------------------------------------------------------------------


def redder(row, by):
    """Make a photograph say another colour of every region, as a flush or a filter would."""
    result = measuring.face_result_of(row)
    document = json.loads(json.dumps(result.document))
    for region in document["regions"].values():
        if region["lab"]:
            region["lab"][1] += by
            region["lab_interval_90"][1] = [end + by for end in region["lab_interval_90"][1]]
    sealed = tries.sealed_document(asdict(replace(result, document=document)), f"{row.name} result")
    Photograph.objects.filter(pk=row.pk).update(result=sealed)


def test_two_photographs_that_disagree_beyond_their_intervals_say_so(visitor, client_row, row):
    address = f"/people/{client_row.pk}/photographs"
    assert "agree" not in visitor.get(address).text.split("Another")[0], "one alone agrees with nothing"
    other = sent(visitor, client_row)
    assert "✓ The photographs agree" in visitor.get(address).text
    page = visitor.get(f"/photographs/{other.pk}").text
    assert f"{address}/together?photograph=" in page
    assert "Take a second photograph" not in page
    assert "at most leaning" in visitor.get(f"/photographs/{row.pk}").text
    redder(other, 12)
    page = visitor.get(address).text
    assert "▲ The photographs disagree: open between neighbours" in page
    assert "Come to the studio, or repeat them by a window" in page
    assert "in photograph 2 against photograph 1" in page
    assert "open between neighbours" in visitor.get(f"/photographs/{other.pk}").text


def test_a_photograph_that_may_not_be_compared_is_not(visitor, client_row, row):
    redder(sent(visitor, client_row, only=("measure", "sheet")), 12)
    assert "The photographs" not in visitor.get(f"/people/{client_row.pk}/photographs").text
