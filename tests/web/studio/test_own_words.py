"""A studio's own words: kept with every version, printed as they are, in any language, and erased for good."""

import io

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from PIL import Image

from tenter.errors import TenterError
from tenter.report.own_words.studio_words import NO_WORDS, Topic
from tenter.web.models import Access, Associate, AuditEntry, Sitting, StudioText
from tenter.web.papers import handed, own_words
from tenter.web.papers.own_words import Version, WordsSlot, version_from, words_for
from tenter.web.store import store
from tests.web.conftest import browser_of

WRITE, LETTERHEAD = "/studio/words/write", "Studio <Linde>\nMill Lane 12"
SOFT = "?topic=text&of=soft+autumn"


def logo(colour="teal", size=(120, 80)):
    file = io.BytesIO()
    Image.new("RGB", size, colour).save(file, "PNG")
    return SimpleUploadedFile("logo.png", file.getvalue())


def say(visitor, address, text, status=302):
    answer = visitor.post(f"{WRITE}{address}", {"text": text})
    assert answer.status_code == status, answer.text
    return answer


def test_a_studio_that_wrote_nothing_prints_nothing(visitor, owner):
    assert words_for(owner) == NO_WORDS
    assert "You have not written anything, so nothing of yours is printed." in visitor.get("/studio/words/preview").text
    assert visitor.get("/studio/words").text.count("nothing yet") > 20
    assert 'href="/studio/words"' in visitor.get("/studio").text


def test_what_is_written_is_what_a_paper_prints(visitor, owner):
    say(visitor, "?topic=letterhead", LETTERHEAD)
    say(visitor, "?topic=signature", "Anna Linde")
    say(visitor, "?topic=text&of=autumn", "Warm.\r\n\r\nRich <b>and</b> deep.")
    say(visitor, SOFT, "The quiet ones.")
    say(visitor, "?topic=make_up", "Less than you think.")
    say(visitor, "?topic=make_up&of=soft+autumn", "Rose brown.")
    words = words_for(owner)
    assert words.letterhead == ("Studio <Linde>", "Mill Lane 12")
    assert words.text_for("soft autumn", "autumn") == ("Warm.", "Rich <b>and</b> deep.", "The quiet ones.")
    assert words.make_up("soft autumn", "autumn") == ("Less than you think.", "Rose brown.")
    assert (words.signature, words.language, words.version) == ("Anna Linde", "en", "6")
    page = visitor.get("/studio/words/preview", {"of": "autumn/soft autumn"}).text
    assert "Studio &lt;Linde&gt;<br>Mill Lane 12" in page
    assert "Rich &lt;b&gt;and&lt;/b&gt; deep." in page
    assert "version 6" in page
    assert "version 3" in visitor.get("/studio/words").text


def test_every_version_stays_and_an_old_paper_can_be_made_again(visitor, owner):
    for text in ("one", "two", "two", "", "three"):
        say(visitor, SOFT, text)
    slot = WordsSlot(Topic.TEXT, "soft autumn", "en")
    assert [row.text for row in own_words.versions(owner, slot)] == ["three", "", "two", "one"]
    printed = [words_for(owner, version=Version(number)).text_for("soft autumn") for number in range(5)]
    assert printed == [(), ("one",), ("two",), (), ("three",)]
    assert [words_for(owner, version=Version(number)).version for number in (0, 2, 4)] == ["", "2", "4"]
    page = visitor.get("/studio/words/preview", {"version": "2", "of": "autumn/soft autumn"}).text
    assert '<p dir="auto">two</p>' in page
    assert "Use version 2 again" in visitor.get(f"{WRITE}{SOFT}").text


@pytest.mark.parametrize(
    ("word", "version"),
    [
        ("7", Version(7, 0)),
        ("7, letter 2", Version(7, 2)),
        ("letter 2", Version(0, 2)),
        ("", Version()),
        (" ", Version()),
    ],
)
def test_a_version_is_read_as_a_paper_names_it(word, version):
    assert version_from(word) == version


@pytest.mark.parametrize("word", ["x", "1" * 10, "7, letter", "-1", "7 8"])
def test_what_no_paper_names_is_no_version(word):
    with pytest.raises(TenterError, match="not a version"):
        version_from(word)


def test_a_version_that_is_none_is_said(visitor, owner):
    answer = visitor.get("/studio/words/preview", {"version": "old"})
    assert answer.status_code == 422
    assert "not a version of the studio" in answer.text


def test_languages_are_written_side_by_side_and_the_letterhead_of_the_studios_own_goes_with_another(visitor, owner):
    say(visitor, "?topic=letterhead", LETTERHEAD)
    say(visitor, SOFT, "quiet")
    say(visitor, f"{SOFT}&language=AR", "ألوان هادئة")
    assert words_for(owner).text_for("soft autumn") == ("quiet",)
    arabic = words_for(owner, language="ar")
    assert (arabic.text_for("soft autumn"), arabic.language) == (("ألوان هادئة",), "ar")
    assert arabic.letterhead[0] == "Studio <Linde>"
    assert own_words.languages(owner) == ["en", "ar"]
    say(visitor, "?topic=language", "ar")
    assert words_for(owner).language == "ar"
    assert words_for(owner, version=Version(3)).language == "en"
    assert '<article class="paper" lang="ar" dir="auto"' in visitor.get("/studio/words/preview").text


@pytest.mark.parametrize(
    ("address", "text", "said"),
    [
        (SOFT, "x" * 1201, "1200 at most"),
        ("?topic=letterhead", "a\nb\nc\nd\ne\nf\ng", "6 lines at most"),
        ("?topic=signature", "x" * 81, "80 at most"),
        ("?topic=language", "german", "language tag"),
        ("?topic=language", "", "language tag"),
        (SOFT, "a\u202eb", "U+202E"),
    ],
)
def test_what_cannot_be_printed_is_said_and_given_back_to_be_mended(visitor, owner, address, text, said):
    answer = say(visitor, address, text, status=422)
    assert said in answer.text
    assert not text or text.splitlines()[0] in answer.text
    assert StudioText.objects.count() == 0


@pytest.mark.parametrize(
    "address",
    [
        "?topic=text",
        "?topic=text&of=indigo",
        "?topic=letter",
        "?topic=logo",
        "?topic=letterhead&of=autumn",
        "?topic=x",
        "",
    ],
)
def test_what_is_no_text_of_a_studio_is_not_found(visitor, owner, address):
    assert visitor.get(f"{WRITE}{address}").status_code == 404


def test_a_text_of_a_season_that_no_method_has_any_more_can_still_be_written(visitor, owner):
    own_words.save_text(owner, owner, WordsSlot(Topic.TEXT, "indigo", "en"), "kept")
    assert "kept" in visitor.get(f"{WRITE}?topic=text&of=indigo").text


# -- pictures ----------------------------------------------------------------------------------------------------------


def test_a_logo_is_kept_by_version_shown_used_again_and_left_out(visitor, owner):
    address = "/studio/words/picture?topic=logo"
    for colour in ("teal", "navy"):
        assert visitor.post(address, {"act": "send", "picture": logo(colour)})["Location"] == "/studio/words"
    navy, teal = StudioText.objects.order_by("-number")
    shown = visitor.get(f"/studio/words/picture/{teal.pk}")
    assert (shown["Content-Type"], shown["X-Content-Type-Options"]) == ("image/png", "nosniff")
    assert shown.content == bytes(teal.picture)
    assert words_for(owner).logo.content == bytes(navy.picture)
    assert words_for(owner, version=Version(1)).logo.content == bytes(teal.picture)
    visitor.post(address, {"act": "again", "version": "1"})
    assert words_for(owner).logo.content == bytes(teal.picture)
    visitor.post(address, {"act": "leave"})
    assert words_for(owner).logo is None
    assert visitor.post(address, {"act": "again", "version": "9"}).status_code == 404
    assert "Version 1" in visitor.get(address).text


@pytest.mark.parametrize(
    ("file", "said"),
    [
        (SimpleUploadedFile("a.svg", b"<svg onload='x()'>"), "may contain scripts"),
        (SimpleUploadedFile("a.png", b"none"), "not a picture"),
        (logo(size=(20, 20)), "only 20 × 20 pixels"),
        (None, "required"),
    ],
)
def test_what_is_no_logo_is_refused_with_the_reason(visitor, owner, file, said):
    sent = {"act": "send"} | ({"picture": file} if file else {})
    answer = visitor.post("/studio/words/picture?topic=signed", sent)
    assert answer.status_code == 422
    assert said in answer.text
    assert StudioText.objects.count() == 0


# -- letters -----------------------------------------------------------------------------------------------------------


def test_a_letter_is_its_clients_alone_and_brings_its_language(visitor, owner, client_row):
    say(visitor, SOFT, "quiet")
    say(visitor, f"{SOFT}&language=de", "leise")
    address = f"/people/{client_row.pk}/letter"
    for text in ("Liebe Ilse,", "Liebe Ilse,\n\nbis bald"):
        assert visitor.post(address, {"text": text, "language": "de"}).status_code == 302
    words = words_for(owner, client_row)
    assert words.letter_paragraphs == ("Liebe Ilse,", "bis bald")
    assert (words.language, words.version, words.text_for("soft autumn")) == ("de", "2, letter 2", ("leise",))
    before = words_for(owner, client_row, version=version_from("2, letter 1"))
    assert (before.letter, before.version) == ("Liebe Ilse,", "2, letter 1")
    other = owner.clients.exclude(pk=client_row.pk).first()
    assert words_for(owner, other).letter == ""
    assert words_for(owner).letter == ""
    assert f'href="{address}"' in visitor.get(f"/people/{client_row.pk}").text
    answer = visitor.post(address, {"text": "x" * 3001, "language": "xx1"})
    assert answer.status_code == 422
    assert "3000 at most" in answer.text
    assert "not a language tag" in answer.text


def test_a_letter_is_erased_with_every_version(visitor, owner, client_row):
    address = f"/people/{client_row.pk}/letter"
    for text in ("one", "two"):
        visitor.post(address, {"text": text, "language": "en"})
    visitor.post(f"{address}/erase")
    assert set(StudioText.objects.values_list("text", "erased")) == {("", True)}
    assert words_for(owner, client_row).letter == ""
    visitor.post(address, {"text": "three", "language": "en"})
    assert words_for(owner, client_row).version == "letter 3"
    client_row.sittings.all().delete()
    client_row.delete()
    assert StudioText.objects.count() == 0


def test_who_reads_blind_sees_no_letter(visitor, owner, person, client_row):
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    address = f"/people/{client_row.pk}/letter"
    assert browser_of(bea).get(address).status_code == 404
    Access.objects.create(client=client_row, user=bea)
    assert browser_of(bea).post(address, {"text": "from Bea", "language": "en"}).status_code == 302
    assert words_for(owner, client_row).letter == "from Bea"
    first = Sitting.objects.filter(client=client_row).first()
    store.start_sitting(client_row, bea, first.kit, blind_to=first)
    assert browser_of(bea).get(address).status_code == 404
    assert browser_of(bea).post(f"{address}/erase").status_code == 404


# -- erased, and whose -------------------------------------------------------------------------------------------------


def test_a_text_is_erased_for_good_and_its_numbers_stay_taken(visitor, owner):
    for text in ("one", "two"):
        say(visitor, SOFT, text)
    say(visitor, "?topic=signature", "Anna")
    answer = visitor.post("/studio/words/erase", {"topic": "text", "of": "soft autumn", "language": "en"}, follow=True)
    assert "2 versions erased" in answer.text
    assert not StudioText.objects.filter(text__in=("one", "two")).exists()
    assert words_for(owner).signature == "Anna"
    say(visitor, SOFT, "three")
    assert words_for(owner).version == "4"
    actions = AuditEntry.objects.filter(action__startswith="studio's words").values_list("subject", flat=True)
    assert set(actions) == {"text", "signature"}


def test_a_studios_words_are_its_owners_alone(visitor, owner, person, stranger):
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    say(visitor, SOFT, "mine")
    visitor.post("/studio/words/picture?topic=logo", {"act": "send", "picture": logo()})
    picture = StudioText.objects.get(topic="logo").pk
    for address in ("/studio/words", f"{WRITE}{SOFT}", "/studio/words/preview", f"/studio/words/picture/{picture}"):
        assert browser_of(bea).get(address).status_code == 404
    other = browser_of(stranger)
    assert other.get(f"/studio/words/picture/{picture}").status_code == 404
    assert "mine" not in other.get(f"{WRITE}{SOFT}").text
    other.post("/studio/words/erase", {"topic": "text", "of": "soft autumn", "language": "en"})
    assert words_for(owner).text_for("soft autumn") == ("mine",)
    assert words_for(stranger).is_empty


def test_the_clients_paper_carries_them(visitor, owner):
    row = Sitting.objects.filter(revealed_at__isnull=False).last()
    assert handed.paper_of(row).own is None
    say(visitor, "?topic=letterhead", LETTERHEAD)
    visitor.post(f"/people/{row.client_id}/letter", {"text": "Dear client,", "language": "en"})
    own = handed.paper_of(row).own
    assert (own.letterhead[0], own.letter) == ("Studio <Linde>", (("Dear client,",),))
    assert own.version == "Words of the studio: version 1, letter 1"
