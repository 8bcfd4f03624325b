"""Can the client wear this, in the browser: asked by name or reading, answered as the command answers, and not kept."""

import pytest

from tenter.consultation.garments.check import check_garment
from tenter.consultation.garments.given import named_garment, parse_reading
from tenter.report.on_screen.garment_words import garment_words
from tenter.web.models import Associate, AuditEntry, Sitting, StudioName
from tenter.web.papers import handed
from tests.web.conftest import browser_of


@pytest.fixture
def row(visitor, owner):
    """A sitting whose verdict was revealed."""
    found = Sitting.objects.filter(ended__isnull=False).order_by("pk").last()
    visitor.post(f"/sittings/{found.pk}/reveal")
    found.refresh_from_db()
    return found


def asked(visitor, row, colour, light="D65 10"):
    return visitor.get(f"/sittings/{row.pk}/garment", {"colour": colour, "light": light})


@pytest.mark.parametrize("colour", ["navy", "52,30,14"])
def test_a_garment_is_answered_in_the_words_of_the_garment_check(visitor, row, colour):
    palette, known = handed.palette_and_known(row)
    garment = parse_reading(colour) if "," in colour else named_garment(colour, palette)
    words = garment_words(check_garment(palette, known, garment))
    page = asked(visitor, row, colour).text.replace("&#x27;", "'")
    assert words.headline in page
    for line in words.lines:
        assert line in page


def test_a_reading_goes_by_the_light_it_was_taken_under(visitor, row):
    pages = [asked(visitor, row, "52,30,14", light).text for light in ("D65 10", "D50 2")]
    assert pages[0].count("<svg") == pages[1].count("<svg")
    drawn = [page[page.index('class="picks"') :].split('fill="')[1][:7] for page in pages]
    assert drawn[0] != drawn[1]


@pytest.mark.parametrize("colour", ["no such colour", "52,30", "500,0,0", "<b>"])
def test_a_colour_that_nobody_knows_is_said_and_the_field_keeps_it(visitor, row, colour):
    page = asked(visitor, row, colour)
    assert page.status_code == 200
    assert 'class="fault-line"' in page.text
    assert 'id="answer"' not in page.text
    assert "<b>" not in page.text


def test_nothing_is_asked_before_the_reveal_nor_kept_after_it(visitor, row):
    lines = AuditEntry.objects.count()
    assert asked(visitor, row, "navy").status_code == 200
    assert AuditEntry.objects.count() == lines
    Sitting.objects.update(revealed_at=None)
    before = asked(visitor, row, "navy")
    assert before.status_code == 409
    assert "Can I wear this" not in before.text


def test_who_does_not_see_the_client_finds_no_such_page(row, owner, person, stranger):
    bea = person("Bea Thorn")
    Associate.objects.create(owner=owner, user=bea)
    for user in (bea, stranger):
        assert asked(browser_of(user), row, "navy").status_code == 404


def test_the_palette_leads_there(visitor, row):
    assert f'href="/sittings/{row.pk}/garment"' in visitor.get(f"/sittings/{row.pk}/palette").text


@pytest.mark.parametrize("name", ["Senf", "SENF", "mustard"])
def test_a_colour_is_named_in_the_language_of_the_page(owner, visitor, name):
    StudioName.objects.update_or_create(owner=owner, defaults={"language": "de"})
    row = Sitting.objects.get(client__name="Maren Tolliver")
    page = visitor.get(f"/sittings/{row.pk}/garment", {"colour": name, "light": "D65 10"}).text
    assert "Unter dem Namen Senf werden viele Töne verkauft" in page
