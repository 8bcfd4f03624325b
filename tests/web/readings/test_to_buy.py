"""What to buy on the studio's pages: worked out in the background, kept for the kit as it is, taken to the shop."""

import csv
import io
from dataclasses import replace

import pypdfium2
import pytest
from django.utils import timezone

from tenter import TenterError
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.laid_out.coverage import Gap
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances
from tenter.consultation.worth.best_kit import BestKit
from tenter.consultation.worth.gain import Gain
from tenter.consultation.worth.shopping import GapGain, KitWorth, ToBuy
from tenter.report.workshop.gain_words import gain_words
from tenter.web.models import KitRecord
from tenter.web.pictures import queue
from tenter.web.readings import kept_worth
from tenter.web.store import kept_readings, store

PINK = ToBuy((59.0, 15.4, -4.4), HueFamily.PINK, ("soft", "cool"), Gain(0.0052, 0.0043, 0.006), 0.03, True)
GREEN = ToBuy((19.0, -19.6, 4.2), HueFamily.GREEN, ("dark", "cool"), Gain(0.0015, 0.0009, 0.0022), 0.009, False)
GAP = Gap("soft summer", HueFamily.RED, (47.0, 15.4, 4.4), "D095", 1.9, ("soft", "cool"), True)
UNSURE, SURE = Gain(0.0001, -0.0002, 0.0004), Gain(0.0016, 0.0009, 0.0022)
WORTH = KitWorth(0.1746, (GapGain(GAP, UNSURE), GapGain(GAP, SURE)), (PINK, GREEN))


@pytest.fixture
def kit(owner, folder):
    return KitRecord.objects.get(owner=owner)


@pytest.fixture
def worked_out(monkeypatch):
    """What is worked out is at hand; return how often it was asked for, by the count of the best kit or as None."""
    asked = []
    monkeypatch.setattr(kept_worth, "kit_worth", lambda bench: asked.append(None) or WORTH)
    monkeypatch.setattr(
        kept_worth,
        "best_kit",
        lambda bench, count: asked.append(count) or BestKit(bench.kit.ids[:count], 0.19, 0.2, 0.985),
    )
    return asked


def test_it_is_worked_out_once_for_a_kit_as_it_is_and_again_after_a_reading(visitor, kit, owner, worked_out):
    address = f"/kit/{kit.pk}/to-buy"
    assert "Work it out" in visitor.get(address).text
    assert worked_out == []
    for best in (3, 3, 4):
        assert visitor.post(address, {"best": best})["Location"] == f"{address}?best={best}"
    assert worked_out == [None, 3, 4]
    kept = kept_worth.kept_worth(kit, 3)
    assert (kept.worth, kept.best.cloths, kept.waits) == (WORTH, ("D001", "D002", "D003"), False)
    how = ReadingCircumstances(day=timezone.localdate().isoformat())
    one = ClothReading(cloth="D001", lab=(50, 0, 0), conditions=store.kit_of(kit).colours.conditions, how=how)
    kept_readings.keep_readings(kit, owner, [one], "new")
    assert kept_worth.kept_worth(kit, 3).worth is None


def test_the_page_says_what_is_sure_in_words_and_the_numbers_on_request(visitor, kit, worked_out):
    answer = visitor.post(f"/kit/{kit.pk}/to-buy", {"best": 4}, follow=True)
    page = " ".join(answer.text.split())
    assert "Soft cool pink. A comparison would tell about 3.0 % more." in page
    shown, numbers = page.split("<summary>The numbers</summary>")
    assert "nats" not in shown
    assert "Soft cool pink: 0.0052 nats (0.0043 to 0.0060)" in numbers
    assert "stronger than a screen can show" in page
    assert "A comparison would tell about 0.9 % more." in numbers  # of a gap: 0.0016 of 0.1746 nats
    assert "filling it is not shown to help the verdict" in page
    assert "0.0001" not in page  # what may be nothing is no number
    assert "teaches 95 % of what it teaches with all your measured cloths: 0.190 of 0.200 nats" in page
    assert [swatch.id for swatch in answer.context["best"]] == ["D001", "D002", "D003", "D004"]


@pytest.mark.parametrize(
    ("share", "said"),
    [(0.03, "about 3.0 % more"), (2.5, "3.5 times as much"), (1e9, "Without it a comparison tells next to nothing")],
)
def test_a_gain_is_said_by_what_is_told_now(share, said):
    assert said in gain_words(replace(PINK, share=share))


def test_a_page_says_while_it_is_worked_out_and_no_second_time_is_asked_for(visitor, kit, worked_out, monkeypatch):
    monkeypatch.setattr(queue.queue, "immediate", False)
    put = []
    monkeypatch.setattr(kept_worth, "work_out", lambda *given: put.append(given))
    address = f"/kit/{kit.pk}/to-buy"
    for _ in range(2):
        page = visitor.post(address, {"best": 3}, follow=True).text
    assert put == [(kit.pk, 3)]
    assert "Being worked out" in page
    assert '<form method="post" action="/kit/' not in page
    assert visitor.get(f"{address}/state?best=3").json()["waits"]
    assert not visitor.get(f"{address}/state?best=4").json()["waits"]


def test_what_cannot_be_worked_out_says_why(visitor, kit, monkeypatch):
    def refused(bench):
        raise TenterError("there are no cloths to try")

    monkeypatch.setattr(kept_worth, "kit_worth", refused)
    page = visitor.post(f"/kit/{kit.pk}/to-buy", {"best": 3}, follow=True).text
    assert "There are no cloths to try." in page
    assert visitor.post(f"/kit/{kit.pk}/to-buy", {"best": 1}).status_code == 422


def test_the_list_goes_to_the_shop_as_paper_and_as_table(visitor, kit, worked_out):
    for name in ("shopping-list.pdf", "shopping-list.csv", "health.pdf?to-buy=yes"):
        assert visitor.get(f"/kit/{kit.pk}/{name}")["Location"] == f"/kit/{kit.pk}/to-buy"
    visitor.post(f"/kit/{kit.pk}/to-buy", {"best": 3})
    answer = visitor.get(f"/kit/{kit.pk}/shopping-list.pdf")
    with pypdfium2.PdfDocument(answer.content) as document:
        words = " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())
    assert "2 colours to look for" in words
    assert "Soft cool pink, L* 59, a* 15, b* −4" in words
    rows = list(csv.DictReader(io.StringIO(visitor.get(f"/kit/{kit.pk}/shopping-list.csv").text)))
    assert [(row["order"], row["L"], row["a"], row["b"], row["illuminant"]) for row in rows] == [
        ("1", "59.0", "15.4", "-4.4", "D65"),
        ("2", "19.0", "-19.6", "4.2", "D65"),
    ]
    assert (rows[0]["gain_nats"], rows[1]["shown_truly"]) == ("0.00520", "no")
    assert visitor.get(f"/kit/{kit.pk}/health.pdf?to-buy=yes")["Content-Type"] == "application/pdf"
