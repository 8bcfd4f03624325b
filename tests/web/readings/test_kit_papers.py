"""A kit's papers and pictures on the studio's pages: its health, labels, what it covers, how cloths changed, pairs."""

from datetime import timedelta

import pypdfium2
import pytest
from django.utils import timezone

from tenter import TenterError
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances
from tenter.web.models import KitRecord, StudioName
from tenter.web.readings import kit_papers_views
from tenter.web.store import kept_readings, store


@pytest.fixture
def kit(owner):
    return KitRecord.objects.get(owner=owner)


@pytest.fixture
def faded(kit, owner):
    """The kit after D063 was read twice: it lost half of its redness."""
    L, a, b = store.kit_of(kit).lab[store.kit_of(kit).row("D063")]
    for days_ago, lab in ((400, (L, a, b)), (0, (L + 5, a * 0.5, b + 2))):
        day = (timezone.localdate() - timedelta(days=days_ago)).isoformat()
        conditions = store.kit_of(kit).colours.conditions
        one = ClothReading(cloth="D063", lab=lab, conditions=conditions, how=ReadingCircumstances(day=day))
        kept_readings.keep_readings(kit, owner, [one], f"{days_ago} days ago")
    return kit


def words_of(answer):
    assert answer["Content-Type"] == "application/pdf"
    with pypdfium2.PdfDocument(answer.content) as document:
        return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())


def test_kit_health_says_what_has_faded_and_leaves_out_what_to_buy(visitor, faded, owner):
    StudioName.objects.update_or_create(owner=owner, defaults={"name": "The North Room"})
    answer = visitor.get(f"/kit/{faded.pk}/health.pdf")
    assert answer["Content-Disposition"] == 'inline; filename="kit-health-demo-kit.pdf"'
    words = words_of(answer)
    for said in ("Kit health", "The North Room", "Take D063 out of the tests", "What it covers", "Mixed pairs"):
        assert said in words
    assert "What to buy" not in words


def test_labels_say_the_number_or_open_the_cloths_page(visitor, kit, monkeypatch):
    sheets, drawn = kit_papers_views.label_sheets, []
    monkeypatch.setattr(
        kit_papers_views, "label_sheets", lambda drapes, **more: drawn.append(sheets(drapes[:2], **more)) or drawn[-1]
    )
    assert "D001" in words_of(visitor.get(f"/kit/{kit.pk}/labels.pdf"))
    visitor.get(f"/kit/{kit.pk}/labels.pdf?pages=yes")
    codes = [one.pages[0].labels[0].code for one in drawn]
    assert codes == ["D001", f"http://testserver/kit/{kit.pk}/cloth?cloth=D001"]


def test_labels_that_cannot_be_drawn_say_why_on_the_page(visitor, kit, monkeypatch):
    def refused(*given, **more):
        raise TenterError("the address is too long")

    monkeypatch.setattr(kit_papers_views, "label_sheets", refused)
    answer = visitor.get(f"/kit/{kit.pk}/labels.pdf", follow=True)
    assert answer.redirect_chain == [(f"/kit/{kit.pk}/readings", 302)]
    assert "Nothing was written: the address is too long." in answer.text


def test_the_readings_page_draws_what_the_kit_covers_and_links_to_the_papers(visitor, kit):
    page = visitor.get(f"/kit/{kit.pk}/readings").text
    assert "<desc>Measured cloths by lightness: light " in page
    for address in ("health.pdf", "to-buy", "labels.pdf", "labels.pdf?pages=yes"):
        assert f'href="/kit/{kit.pk}/{address}"' in page


def test_a_cloths_page_draws_how_it_has_changed_once_it_was_read_on_two_days(visitor, faded):
    assert "<title>How D063 Test Pink W has changed</title>" in visitor.get(f"/kit/{faded.pk}/cloth?cloth=D063").text
    assert "has changed</title>" not in visitor.get(f"/kit/{faded.pk}/cloth?cloth=D001").text


def test_a_pair_that_no_longer_matches_links_to_its_sheet_in_the_colours_of_today(visitor, faded):
    address = f"/kit/{faded.pk}/pair?first=D063&second=D064&for=undertone"
    assert address.replace("&", "&amp;") in visitor.get(f"/kit/{faded.pk}/readings").text
    page = visitor.get(address).text
    assert "<title>D063 and D064, for undertone</title>" in page
    assert ">L* 80, " in page  # 75 in the kit’s table


def test_a_pair_is_shown_for_what_it_is_to_test(visitor, kit):
    page = f"/kit/{kit.pk}/pair"
    assert "D063 and D064, for undertone" in visitor.get(f"{page}?first=D063&second=D064").text
    assert "D063 and D064, for depth" in visitor.get(f"{page}?first=D063&second=D064&for=depth").text
    assert "D095 and D096, for undertone" in visitor.get(f"{page}?first=D095&second=D096&for=nothing").text
    assert "<svg" in visitor.get(page).text
    for wrong in ("first=D063&second=X9", "first=D063&second=D089", "first=D063"):
        assert visitor.get(f"{page}?{wrong}").status_code == 404, wrong


def test_the_kits_page_shows_each_test_pair_on_the_face_and_the_cloths_that_decide_nothing(visitor, kit):
    answer = visitor.get(f"/kit/{kit.pk}")
    pairs = {(row["first"], row["second"]): row for row in answer.context["tested"]}
    assert len(pairs[("D063", "D064")]["skins"]) == 3
    assert pairs[("D063", "D064")]["mixed"] == ""
    assert "depth" in pairs[("D095", "D096")]["mixed"]
    page = answer.text
    assert f'href="/kit/{kit.pk}/pair?first=D063&amp;second=D064">D063 and D064</a>' in page
    assert f'href="/kit/{kit.pk}/pair?first=D095&amp;second=D096">See D095 beside D096</a>' in page
    assert "so that on its own it decides nothing." in page
