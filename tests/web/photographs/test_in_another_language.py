"""The pages of photographs, phones and series in a language that has no letter of English: only names are left."""

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile

from tenter.web.models import IncomingFolder, LearnedPhone, Photograph, PhotoSeries
from tenter.web.pictures import measuring, tries
from tenter.web.pictures.kept_sentences import SENTENCES, said_again
from tenter.web.server.in_language import in_language
from tests.support.photo_studio import cut, portrait, send, sent
from tests.support.pseudo import pseudo
from tests.web.other_language import left_in_english, numbers_of_text, speak_another_language
from tests.web.series.test_series import ask, files

pytestmark = pytest.mark.usefixtures("folder")
# Kinds of files and of cards' orders, a command, a name and a path.
SAID_ALIKE = ("JPEG PNG WebP TIFF HEIC DNG MB", "AAB ABAB ABBA ABABAB", "tenter card calibrate", "ITA LED", "whole jpg")


@pytest.fixture
def studio(owner, tmp_path, settings):
    (tmp_path / "catalogues").mkdir()
    speak_another_language(owner, tmp_path / "catalogues", settings)
    owner.is_superuser = True
    owner.save()
    (tmp_path / "inbox").mkdir()
    (tmp_path / "inbox" / "whole.jpg").write_bytes(portrait())
    (tmp_path / "inbox" / "whole").write_text("milk")
    IncomingFolder.objects.create(owner=owner, path=str(tmp_path / "inbox"))
    return owner


def left_on(visitor, addresses, *names):
    """What is left in English on pages, by their addresses."""
    pages = {address: visitor.get(address) for address in addresses}
    assert {page.status_code for page in pages.values()} == {200}
    assert set().union(*(numbers_of_text(page.text) for page in pages.values())) == set()
    left = {address: left_in_english(page.text, *names, *SAID_ALIKE) for address, page in pages.items()}
    return {address: words for address, words in left.items() if words}


def test_the_pages_of_photographs_have_no_english_left(studio, visitor, client_row, tmp_path):
    first, second = (sent(visitor, client_row, name) for name in ("p1a.jpg", "p1b.jpg"))
    send(visitor, client_row, cut("p1a.jpg"))
    refused = Photograph.objects.exclude(pk__in=(first.pk, second.pk)).get()
    phones = [
        LearnedPhone.objects.create(owner=studio, by=studio, phone="whole", chart="classic24", state=state)
        for state in ("queued", "failed")
    ]
    photographs = f"/people/{client_row.pk}/photographs"
    addresses = [
        *(photographs, f"{photographs}?baseline={first.pk}"),
        f"{photographs}/together?photograph={first.pk}&photograph={second.pk}",
        *(f"/photographs/{row.pk}" for row in (first, second, refused)),
        *("/phones", *(f"/phones/{row.pk}" for row in phones)),
        "/studio/incoming",
    ]
    assert left_on(visitor, addresses, client_row.name, studio.username, str(tmp_path)) == {}


def test_the_pages_of_two_cloths_in_turn_have_no_english_left(studio, visitor, client_row):
    ask(visitor, client_row, files=files())
    row = PhotoSeries.objects.get()
    cloths = (row.cloth_a, row.cloth_b, "whole")
    asked = f"/people/{client_row.pk}/series/photographs"
    names = map(" ".join, visitor.get(asked).context["cloths"])
    assert left_on(visitor, [asked, f"/series/{row.pk}"], client_row.name, *cloths, *names) == {}


def test_what_is_refused_at_the_door_is_said_in_the_language(studio, visitor, client_row, tmp_path):
    milk = {"files": [SimpleUploadedFile(f"whole{n}.jpg", b"milk", "image/jpeg") for n in range(3)]}
    answers = [
        send(visitor, client_row, b"milk"),
        visitor.post(f"/people/{client_row.pk}/photographs"),
        *(visitor.post("/phones", {"phone": name, "values": "mean-of-30"} | milk) for name in ("!", "whole")),
        visitor.post("/phones", {"phone": "whole", "values": "mean-of-30", "files": milk["files"][:1]}),
        *(
            ask(visitor, client_row, files=files(), **said)
            for said in ({"pattern": "aab"}, {"cloth_b": "D002"}, {"chart": ""})
        ),
        visitor.post("/studio/incoming", {"path": "whole"}),
    ]
    assert {answer.status_code for answer in answers} == {422}
    cloths = map(" ".join, visitor.get(f"/people/{client_row.pk}/series/photographs").context["cloths"])
    known = (client_row.name, studio.username, *cloths, *SAID_ALIKE, str(tmp_path))
    assert [left_in_english(answer.text, *known) for answer in answers] == [[]] * len(answers)


def test_what_is_measured_beside_the_server_is_told_in_the_studios_language(studio, visitor, client_row, monkeypatch):
    row = sent(visitor, client_row)

    def fault(*_said):
        raise ZeroDivisionError

    monkeypatch.setattr(measuring, "_measured", fault)
    with pytest.raises(ZeroDivisionError):
        measuring.measure_photograph(row.pk, tries.ask_again(Photograph, row.pk))
    row.refresh_from_db()
    said = pseudo("this photograph could not be measured (%(error)s); try another")
    assert row.problem == said % {"error": "ZeroDivisionError"}


# -- measured in one language, read in another -------------------------------------------------------------------------


def test_what_was_measured_in_english_is_read_in_the_language_of_the_page(
    visitor, owner, client_row, tmp_path, settings
):
    sent(visitor, client_row)
    send(visitor, client_row, cut("p1a.jpg"))
    ask(visitor, client_row, files=files())
    series = PhotoSeries.objects.get()
    shots = Photograph.objects.filter(frames=None)
    addresses = [f"/series/{series.pk}", *(f"/photographs/{row.pk}" for row in shots)]
    english = {row.pk: tries.result_of(row) for row in shots}
    assert [result["document"]["accepted"] for result in english.values()].count(False) == 1
    assert all(SENTENCES not in result for result in english.values())
    (tmp_path / "catalogues").mkdir()
    speak_another_language(owner, tmp_path / "catalogues", settings)
    cloths = map(" ".join, visitor.get(f"/people/{client_row.pk}/series/photographs").context["cloths"])
    assert left_on(visitor, addresses, client_row.name, owner.username, *cloths) == {}
    assert {row.pk: tries.result_of(row) for row in shots} == english


def test_what_was_kept_without_its_sentences_stays_in_the_words_of_its_day(visitor, client_row):
    row = sent(visitor, client_row)
    kept = tries.opened_document(row.result, f"{row.name} result")
    told = kept["picture"]["facts"]
    assert said_again(kept | {SENTENCES: None}) == tries.result_of(row)
    kept = tries.opened_document(row.result, f"{row.name} result")
    for path, made_of in kept[SENTENCES]["texts"]:
        if path == ["picture", "facts", 0]:
            made_of[0]["with"] = {"light": "D65"}  # as of another version of the sentence
    with in_language("de"):
        again = said_again(kept)
    assert again["picture"]["facts"][0] == told[0]
    assert again["picture"]["facts"][1] != told[1]
    assert again["picture"]["verdict"] == "Gemessen"
