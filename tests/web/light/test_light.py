"""The light on the studio's pages: checked, compared with last time, and shown on the sittings of the day."""

import re
from datetime import timedelta

import numpy as np
import pypdfium2
import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.utils import timezone

from tenter import TenterError
from tenter.colorimetry.illuminants import WAVELENGTHS_NM
from tenter.colorimetry.lights.blackbody import daylight_power
from tenter.light.light_values import values_of_meter
from tenter.web.models import AuditEntry, KeptLight
from tenter.web.store import kept_lights
from tests.web.conftest import browser_of

GOOD = {
    **{"cct": "5600", "ra": "97", "r9": "92", "duv": "0,001"},
    **{"forehead": "1200", "cheek_left": "1180", "cheek_right": "1150", "nose": "1190", "chin": "1120"},
}


def check(browser, key="k1", **changed):
    return browser.post("/light", GOOD | {"key": key} | changed)


def page_of(browser, answer):
    return browser.get(answer["Location"]).text


def test_a_good_light_passes_and_is_kept_once(visitor, owner):
    for _ in range(2):
        answer = check(visitor)
    row = KeptLight.objects.get()
    assert answer["Location"] == f"/light/{row.pk}"
    assert (row.owner, row.by) == (owner, owner)
    page = page_of(visitor, answer)
    assert "✓ This light is good for draping." in page
    assert "5600 K" in page
    assert "✓ good" in visitor.get("/light").text
    assert AuditEntry.objects.filter(action="light checked").exists()


def test_the_brighter_cheek_is_named_with_what_to_do(visitor):
    page = page_of(visitor, check(visitor, cheek_left="1180", cheek_right="1000"))
    assert "▲" in page
    assert "Left cheek 18 % brighter: move the lamp or turn the chair." in page
    page = page_of(visitor, check(visitor, key="k2", cheek_left="1000", cheek_right="1180"))
    assert "Right cheek 18 % brighter" in page


def test_numbers_may_have_their_units_and_the_next_check_begins_with_the_same_lamp(visitor):
    page = page_of(visitor, check(visitor, cct="5600 K", cheek_left="1180 lx", cheek_right="700 lux"))
    [again] = re.findall(r'href="(/light\?again=\d+)"', page)
    form = visitor.get(again).text
    shown = dict(re.findall(r'name="(\w+)" value="([^"]+)"', form))
    assert [shown[name] for name in ("cct", "ra", "r9", "duv")] == ["5600", "97", "92", "0.001"]
    assert "cheek_left" not in shown
    assert re.search(r'name="forehead"[^>]*autofocus', form)
    assert 'value="5600"' not in visitor.get("/light").text
    assert 'value="5600"' not in visitor.get("/light?again=x").text


def test_a_light_that_does_not_do_is_among_what_the_day_asks_to_see_to(visitor):
    check(visitor, cheek_right="700")
    page = visitor.get("/day").text
    assert "See what to correct" in page
    assert "Light checked at" not in page


def test_what_was_not_measured_is_said_without_the_words_of_a_command(visitor):
    page = page_of(visitor, check(visitor, ra="", r9="", duv="", forehead="", cheek_left="", nose="", chin=""))
    assert "Still to measure" in page
    assert "Colour rendering (Ra). Wanted: 95 or more." in page
    assert "--" not in page[page.index("<main") :]


def test_a_light_that_changed_since_last_time_says_by_how_much(visitor):
    check(visitor)
    page = page_of(visitor, check(visitor, key="k2", cct="5200"))
    assert "Colour temperature 5600 K then, 5200 K now: −400 K (yellower)." in page
    assert "ore than a lamp should change" in page


def as_csv(power):
    return "nm,power\n" + "".join(f"{nm},{value}\n" for nm, value in zip(WAVELENGTHS_NM, power, strict=True))


def test_a_spectrum_says_everything_and_what_it_does_to_the_kit(visitor):
    file = SimpleUploadedFile("lamp.csv", as_csv(daylight_power(5600)).encode())
    answer = check(visitor, spectrum=file, cct="", ra="", r9="", duv="")
    page = page_of(visitor, answer)
    row = KeptLight.objects.get()
    assert np.allclose(kept_lights.power_in(row), daylight_power(5600))
    assert row.values["cct"] == pytest.approx(5600, abs=5)
    assert row.values["lux_points"]["chin"] == 1120
    for words in ("Cloths that this light changes most", "Pairs", "Skin", "Rf"):
        assert words in page


def words_of(answer):
    assert answer["Content-Type"] == "application/pdf"
    with pypdfium2.PdfDocument(answer.content) as document:
        return " ".join(" ".join(page.get_textpage().get_text_range() for page in document).split())


def test_a_spectrum_is_drawn_on_the_page_and_in_the_report(visitor):
    file = SimpleUploadedFile("lamp.csv", as_csv(daylight_power(5600)).encode())
    answer = check(visitor, spectrum=file, cct="", ra="", r9="", duv="")
    page, row = page_of(visitor, answer), KeptLight.objects.get()
    assert "<desc>The spectrum of a light from 380 to 780 nm." in page
    assert "R14 " in page
    assert f'href="/light/{row.pk}/report.pdf"' in page
    words = words_of(visitor.get(f"/light/{row.pk}/report.pdf"))
    for said in ("The light you drape in", "From its spectrum, checked at", "wavelength in nm", "chin 1120 lx", "Skin"):
        assert said in words


def test_the_report_of_a_meters_values_has_no_picture_and_no_words_of_a_command(visitor):
    page = page_of(visitor, check(visitor, ra="", r9="", duv="", forehead="", cheek_left="", nose="", chin=""))
    assert "The spectrum of a light" not in page
    row = KeptLight.objects.get()
    words = words_of(visitor.get(f"/light/{row.pk}/report.pdf"))
    assert "From a meter’s values" in words
    assert "Colour rendering (Ra). Wanted: 95 or more." in words
    assert "--" not in words


@pytest.mark.parametrize(
    ("sent", "field", "words"),
    [
        ({"cct": "about 56"}, "id_cct_error", "“about 56” can’t be used. Type a number from 1000 to 100000"),
        ({"cct": "20"}, "id_cct_error", "It is from 1000 to 100000, not 20"),
        ({"cheek_left": "-5"}, "id_cheek_left_error", "It is from 0 to 150000, not -5"),
        ({"duv": "1"}, "id_duv_error", "It is from −0.05 to 0.05, not 1."),
        ({"chin": "9999999"}, "id_chin_error", "“9999999” can’t be used. Type a number from 0 to 150000"),
        (dict.fromkeys(GOOD, ""), "id_cct_error", "Nothing was entered"),
        ({"spectrum": "nm,power\n400,1\n"}, "id_spectrum_error", "not both"),
        (dict.fromkeys(GOOD, "") | {"spectrum": "nm,power\n400,x\n"}, "id_spectrum_error", "no line holds"),
        (dict.fromkeys(GOOD, "") | {"spectrum": "nm,power\n400,1\n500,2\n600,1\n"}, "id_spectrum_error", "400 to 700"),
    ],
)
def test_what_cannot_be_is_said_at_its_field_and_nothing_is_kept(visitor, sent, field, words):
    if "spectrum" in sent:
        sent = sent | {"spectrum": SimpleUploadedFile("lamp.csv", sent["spectrum"].encode())}
    answer = check(visitor, **sent)
    assert answer.status_code == 422
    page = answer.text
    assert f'id="{field}"' in page
    assert words.casefold() in page.casefold()
    assert not KeptLight.objects.exists()
    assert f'value="{sent.get("nose", GOOD["nose"])}"' in page or not sent.get("nose", "1190")


def test_the_day_and_each_sitting_of_it_show_the_last_check(visitor, owner, going_on, stranger):
    assert "The light has not been checked today." in visitor.get("/day").text
    assert "Nobody checked the light that day." in visitor.get(f"/sittings/{going_on.pk}").text
    check(visitor, cheek_right="700")
    check(visitor, key="k2")
    for address in ("/day", f"/sittings/{going_on.pk}"):
        page = visitor.get(address).text
        assert "This light is good for draping." in page, address
        assert "Light checked at" in page
    ended = owner.clients.get(name="Ilse Varnholt").sittings.get()
    assert "Nobody checked the light that day." in visitor.get(f"/sittings/{ended.pk}").text
    assert "has not been checked" in browser_of(stranger).get("/day").text


def test_a_check_after_the_end_of_a_sitting_is_not_its_light(owner, going_on):
    values = values_of_meter({"cct": 5600})
    row = kept_lights.keep_light(owner, owner, values, None, "one")
    assert kept_lights.light_of_sitting(going_on) == row
    going_on.ended = row.at - timedelta(seconds=1)
    assert kept_lights.light_of_sitting(going_on) is None
    going_on.started = timezone.now() - timedelta(days=2)
    going_on.ended = None
    assert kept_lights.light_of_sitting(going_on) is None


@pytest.mark.parametrize("wrong", [{"values": {}}, {"values": {"basis": "moon"}}, {"power": [1.0, 2.0]}])
def test_a_row_that_is_no_light_is_refused(wrong):
    row = KeptLight(**({"values": {"basis": "meter", "cct": 5600}, "power": None} | wrong))
    with pytest.raises(TenterError):
        kept_lights.check_light_rows([row])
