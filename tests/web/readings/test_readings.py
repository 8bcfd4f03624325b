"""Readings of cloths on the studio's pages: entered, sent as a file, kept, and made into the kit of a day."""

import re
from datetime import date, timedelta

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import IntegrityError, transaction
from django.utils import timezone

from tenter import TenterError
from tenter.consultation.readings.book import reading_document
from tenter.consultation.readings.cloth_reading import ClothReading, ReadingCircumstances
from tenter.web.models import (
    AuditEntry,
    Client,
    KeptReading,
    KeptWash,
    KitRecord,
    SetAsideReading,
    Sitting,
)
from tenter.web.store import kept_readings, store
from tests.web.conftest import browser_of

TAKEN = {
    **{"given_as": "Lab", "illuminant": "D65", "observer": "10", "instrument": "meter 3", "backing": "white tile"},
    **{"folds": "4", "uv": "unknown", "place": "", "note": "", "times": "1", "direction": ""},
}


@pytest.fixture
def kit(owner):
    return KitRecord.objects.get(owner=owner)


def typed(cloth, L, a, b, key, **more):
    numbers = {"cloth": cloth, "L": str(L), "a": str(a), "b": str(b), "key": key}
    return TAKEN | {"day": timezone.localdate().isoformat()} | numbers | more


def enter(browser, kit, *said, **more):
    return browser.post(f"/kit/{kit.pk}/readings/enter", typed(*said, **more))


def on_day(kit, owner, cloth, lab, days_ago, key, **how):
    day = timezone.localdate() - timedelta(days=days_ago)
    conditions = store.kit_of(kit).colours.conditions
    one = ClothReading(
        cloth=cloth, lab=lab, conditions=conditions, how=ReadingCircumstances(day=day.isoformat(), **how)
    )
    kept_readings.keep_readings(kit, owner, [one], key)
    return one


def lab_of(kit, cloth):
    return tuple(store.kit_of(kit).lab[store.kit_of(kit).row(cloth)])


# -- by keyboard -------------------------------------------------------------------------------------------------------


def test_a_reading_is_saved_and_the_next_cloth_is_offered_with_what_stays_the_same(visitor, kit, owner):
    answer = enter(visitor, kit, "D001", "61,2", "−3.5", "14", "k1", times="1")
    assert answer["Location"] == f"/kit/{kit.pk}/readings/enter?cloth=D002&times=1"
    row = KeptReading.objects.get()
    assert (row.cloth, row.day, row.by) == ("D001", timezone.localdate(), owner)
    assert row.document["lab"] == [61.2, -3.5, 14.0]
    page = visitor.get(answer["Location"]).text
    assert "D001: 1 reading saved. L* 61.2, a* −3.5, b* 14.0." in page
    assert 'value="meter 3"' in page
    assert 'value="white tile"' in page
    assert 'name="cloth" value="D002"' in page
    assert 'value="D002"' in page
    assert "autofocus" in page
    assert AuditEntry.objects.filter(action="readings added").count() == 1


def test_a_cloth_is_read_as_often_as_was_asked_before_the_next(visitor, kit):
    first = enter(visitor, kit, "D002", 50, 0, 0, "k1", times="2")
    assert first["Location"].endswith("?cloth=D002&times=2")
    second = enter(visitor, kit, "D002", 51, 0, 0, "k2", times="2")
    assert second["Location"].endswith("?cloth=D003&times=2")
    assert "spread ΔE00 0.5" in visitor.get(second["Location"]).text


def test_a_colour_may_be_typed_as_lightness_chroma_and_hue(visitor, kit):
    enter(visitor, kit, "d001", 60, 20, 90, "k1", given_as="LCh")
    one = kept_readings.kept_reading(KeptReading.objects.get())
    assert one.cloth == "D001"
    assert one.lab == pytest.approx((60, 0, 20), abs=1e-9)
    assert one.given_as == "LCh"


def test_the_same_form_twice_is_one_reading(visitor, kit):
    for _ in range(2):
        enter(visitor, kit, "D001", 60, 0, 0, "same")
    assert KeptReading.objects.count() == 1


@pytest.mark.parametrize(
    ("changed", "field", "words"),
    [
        ({"L": "250"}, "id_L_error", "L* is from 0 to 115, not 250"),
        ({"a": "x"}, "id_a_error", "“x” is not a number. Type a* as the instrument shows it."),
        ({"b": ""}, "id_b_error", "This field is required"),
        ({"b": "361", "given_as": "LCh"}, "id_b_error", "h is from 0 to 360, not 361"),
        ({"a": "-2", "given_as": "LCh"}, "id_a_error", "C* is from 0 to 220, not -2"),
        ({"cloth": "X9"}, "id_cloth_error", "This kit has no cloth X9. Its cloths run from D001 to D096."),
        ({"day": "2999-01-01"}, "id_day_error", "This day has not come yet"),
        ({"L": "2", "a": "120", "b": "120"}, "id_L_error", "No cloth can have this colour"),
        ({"times": "0"}, "id_times_error", "greater than or equal to 1"),
    ],
)
def test_what_cannot_be_is_named_by_its_field_and_nothing_typed_is_lost(visitor, kit, changed, field, words):
    said = typed("D001", 61, 2.5, 4, "k1", note="from the rail") | changed
    answer = visitor.post(f"/kit/{kit.pk}/readings/enter", said)
    assert answer.status_code == 422
    page = answer.text
    assert f'id="{field}"' in page
    assert words in page
    for name in ("L", "a", "b", "note"):
        if said[name]:
            assert f'name="{name}" value="{said[name]}"' in page
    assert not KeptReading.objects.exists()


def test_the_last_cloth_ends_the_round(visitor, kit):
    last = [drape.id for drape in store.kit_of(kit).drapes if not drape.is_metal][-1]
    answer = enter(visitor, kit, last, 60, 0, 0, "k1")
    assert answer["Location"] == f"/kit/{kit.pk}/readings"
    assert "That was the last cloth of the kit." in visitor.get(answer["Location"]).text


def test_a_wide_spread_is_marked_with_its_likely_cause(visitor, kit):
    for number, (L, direction) in enumerate(((50, "along"), (53.5, "against"), (50.1, "along"), (53.4, "against"))):
        enter(visitor, kit, "D004", L, 10, 5, f"k{number}", times="4", direction=direction)
    said = "It probably comes from the pile direction; read it always the same way."
    for address in (f"/kit/{kit.pk}/readings", f"/kit/{kit.pk}/cloth?cloth=D004", f"/kit/{kit.pk}/readings/enter"):
        page = visitor.get(address).text
        assert "▲" in page
        assert said in page, address


# -- a file ------------------------------------------------------------------------------------------------------------


def send(browser, kit, text, name="mine.csv", **more):
    content = text.encode() if isinstance(text, str) else text
    said = {name: value for name, value in TAKEN.items() if name in ("illuminant", "observer", "instrument", "backing")}
    said |= {"folds": "", "uv": "", "cloth": "", "day": timezone.localdate().isoformat(), "key": "file", **more}
    return browser.post(f"/kit/{kit.pk}/readings/file", said | {"file": SimpleUploadedFile(name, content)})


def test_a_file_is_read_whole_and_the_same_file_again_adds_nothing(visitor, kit):
    table = "cloth;L;a;b\nD001;50,5;1;2\nD002;60;3;4\n"
    assert send(visitor, kit, table)["Location"] == f"/kit/{kit.pk}/readings"
    assert [row.document["lab"] for row in KeptReading.objects.all()] == [[50.5, 1, 2], [60, 3, 4]]
    assert KeptReading.objects.first().document["instrument"] == "meter 3"
    again = send(visitor, kit, table, key="again")
    assert "No reading added. 2 were there already." in visitor.get(again["Location"]).text
    assert KeptReading.objects.count() == 2


@pytest.mark.parametrize(
    ("text", "said"),
    [
        (
            "cloth,L,a,b\nD001,50,1,2\nD002,much,3,4\nD003,50,1,999\n",
            ["Row 3, column L", "row 4", "b* is a finite number"],
        ),
        ("cloth,L,a,b\nD001,50,1,2\nE9,60,3,4\n", ["Row 3: this kit has no cloth E9"]),
        ("cloth,L,a,b,day\nD001,50,1,2,2999-01-01\n", ["Row 2: 1 January 2999 has not come yet"]),
        ("CGATS.17\nNUMBER_OF_FIELDS 4\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L", ["The file breaks off"]),
        ('<!DOCTYPE a [<!ENTITY b "c">]><a>&b;</a>', ["document type", "Nothing was read"]),
        (b"\xff\xfe\x00", ["The text is not UTF-8"]),
        ("", ["empty"]),
    ],
)
def test_a_faulty_file_is_refused_by_row_and_nothing_is_kept(visitor, kit, text, said):
    answer = send(visitor, kit, text)
    assert answer.status_code == 422
    page = answer.text.replace("&#x27;", "'").casefold()
    assert [words for words in said if words.casefold() not in page] == []
    assert not KeptReading.objects.exists()


# -- over time ---------------------------------------------------------------------------------------------------------


def test_a_faded_cloth_says_how_which_pairs_no_longer_match_and_how_many_sittings_used_it(visitor, kit, owner):
    L, a, b = lab_of(kit, "D063")
    on_day(kit, owner, "D063", (L, a, b), 400, "first")
    Sitting.objects.update(started=timezone.now() - timedelta(days=30))
    on_day(kit, owner, "D063", (L + 5, a * 0.5, b + 2), 0, "second")
    page = visitor.get(f"/kit/{kit.pk}/readings").text
    assert "▲" in page
    since = timezone.localdate() - timedelta(days=400)
    assert sum("D063" in use.cloths for use in kept_readings.uses_of(owner, kit, since)) == 5
    assert kept_readings.uses_of(owner, kit, timezone.localdate()) == ()
    assert re.findall(r"(?:<p[^>]*>|<title>)[^<]*\d{4}-\d\d-\d\d", page) == []  # days are written out
    assert "1 pair no longer matches; used in 5 sittings since." in page
    assert "D063 and D064 for undertone (now also differs in " in page
    assert "chroma" in page
    assert "used in 5 sittings since." in page
    assert "used in 5 sittings since." in visitor.get(f"/kit/{kit.pk}/cloth?cloth=D063").text
    assert "Read the cloth on two days" in visitor.get(f"/kit/{kit.pk}/cloth?cloth=D001").text


def test_a_reading_set_aside_is_still_shown_and_no_longer_counts(visitor, kit, owner, stranger):
    on_day(kit, owner, "D001", (50, 1, 1), 0, "first")
    on_day(kit, owner, "D001", (70, 1, 1), 0, "typing error")
    wrong = KeptReading.objects.last()
    assert browser_of(stranger).post(f"/readings/{wrong.pk}/set-aside").status_code == 404
    for _ in range(2):
        assert visitor.post(f"/readings/{wrong.pk}/set-aside").status_code == 302
    assert [one.lab for one in kept_readings.book_of(kit).readings] == [(50, 1, 1)]
    page = visitor.get(f"/kit/{kit.pk}/cloth?cloth=D001").text
    assert "Lab 70.00 1.00 1.00" in page
    assert "set aside by Wenna Castrall" in page
    assert SetAsideReading.objects.count() == 1


def test_a_wash_is_noted_once(visitor, kit):
    said = {"cloth": "D007", "wash-kind": "machine, 30 °C", "wash-day": "2026-11-02", "wash-note": "", "wash-key": "w"}
    for _ in range(2):
        answer = visitor.post(f"/kit/{kit.pk}/wash", said)
        assert answer["Location"] == f"/kit/{kit.pk}/cloth?cloth=D007"
    assert "2 November 2026: machine, 30 °C" in visitor.get(answer["Location"]).text
    assert KeptWash.objects.count() == 1
    refused = visitor.post(f"/kit/{kit.pk}/wash", said | {"wash-day": "2999-01-01", "wash-key": "v"})
    assert refused.status_code == 422
    assert "This day has not come yet" in refused.text
    assert visitor.post(f"/kit/{kit.pk}/wash", said | {"cloth": "nothing"}).status_code == 404


def test_a_page_for_a_cloth_that_is_not_in_the_kit_is_not_there(visitor, kit):
    assert visitor.get(f"/kit/{kit.pk}/cloth?cloth=X9").status_code == 404


# -- the kit of a sitting ----------------------------------------------------------------------------------------------


def start(browser, kit):
    client = Client.objects.get(name="Ilse Varnholt")
    browser.post("/sittings/start", {"client": client.pk, "kit": kit.pk, "method": "four-by-three"})
    return Sitting.objects.first()


def test_a_new_sitting_has_the_kit_as_it_is_that_day_and_an_old_one_keeps_its_own(visitor, kit, owner):
    before = start(visitor, kit)
    assert before.kit == kit
    L, a, b = lab_of(kit, "D010")
    on_day(kit, owner, "D010", (L - 4, a, b), 0, "first")
    row, again = start(visitor, kit), start(visitor, kit)
    assert row.kit.origin == kit
    assert again.kit == row.kit
    assert lab_of(row.kit, "D010") == pytest.approx((L - 4, a, b), abs=0.006)
    assert lab_of(row.kit, "D011") == lab_of(kit, "D011")
    on_day(kit, owner, "D010", (L - 6, a, b), 0, "second")
    assert start(visitor, kit).kit not in (kit, row.kit)
    before.refresh_from_db()
    row.refresh_from_db()
    assert lab_of(before.kit, "D010") == (L, a, b)
    assert lab_of(row.kit, "D010")[0] == pytest.approx(L - 4, abs=0.006)


def test_kits_made_of_readings_are_offered_nowhere_and_say_what_they_are(visitor, kit, owner):
    on_day(kit, owner, "D010", (50, 1, 1), 0, "first")
    row = start(visitor, kit)
    assert KitRecord.objects.count() == 2
    assert f"/kit/{row.kit.pk}" not in visitor.get("/kit").text
    page = visitor.get(f"/kit/{row.kit.pk}").text
    assert "This is the kit as it was measured by" in page
    assert "as measured by" in visitor.get(f"/sittings/{row.pk}").text
    assert visitor.get(f"/kit/{row.kit.pk}/readings").text.count("Readings of Demo kit") > 0


def test_the_kits_page_shows_the_latest_colours(visitor, kit, owner):
    before = visitor.get(f"/kit/{kit.pk}").text
    L, a, b = lab_of(kit, "D020")
    on_day(kit, owner, "D020", (L - 20, a, b), 0, "first")
    assert visitor.get(f"/kit/{kit.pk}").text != before


def test_a_set_aside_reading_of_a_file_is_not_added_again(kit, owner):
    one = on_day(kit, owner, "D001", (50, 1, 1), 0, "first")
    SetAsideReading.objects.create(reading=KeptReading.objects.get(), by=owner)
    assert kept_readings.not_yet_kept(kit, [one]) == ()
    assert kept_readings.book_of(kit).readings == ()


def test_a_row_that_is_no_reading_is_refused(kit, owner):
    one = on_day(kit, owner, "D001", (50, 1, 1), 0, "first")
    row = KeptReading.objects.get()
    kept_readings.check_reading_rows([row])
    for wrong in ({"cloth": "D002"}, {"day": date(2020, 1, 1)}, {"document": {"kind": "reading"}}):
        odd = KeptReading(**{"cloth": row.cloth, "day": row.day, "document": reading_document(one)} | wrong)
        with pytest.raises(TenterError):
            kept_readings.check_reading_rows([odd])
    with pytest.raises(TenterError):
        kept_readings.check_wash_rows([KeptWash(cloth="D001", day=date(2020, 1, 1), kind="")])


def test_a_key_stands_for_one_row_in_the_database_too(kit, owner):
    on_day(kit, owner, "D001", (50, 1, 1), 0, "first")
    row = KeptReading.objects.get()
    row.pk = None
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()
