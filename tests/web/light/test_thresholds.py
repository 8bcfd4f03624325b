"""The light's thresholds on the studio's pages: changed by the owner, read by all, and kept with each check."""

import pytest
from django.urls import reverse

from tenter.light.thresholds import PRACTICE, LightThresholds
from tenter.web.models import Associate, AuditEntry, KeptLight, KeptThresholds
from tenter.web.store import kept_lights
from tests.web.conftest import browser_of
from tests.web.light.test_light import check, page_of

ADDRESS = "/light/thresholds"
DEFAULTS = {
    **{"least_lux": "1000", "most_lux": "4000", "most_cheek_difference": "10", "least_cct": "4800"},
    **{"most_cct": "6800", "most_duv": "0.005", "least_ra": "95", "least_r9": "80", "least_rf": "0"},
    **{"drift_cct": "200", "drift_duv": "0.002", "drift_ra": "2", "drift_r9": "5", "drift_lux": "15"},
}


def test_each_threshold_has_its_unit_its_default_and_where_it_comes_from(visitor):
    page = visitor.get(ADDRESS).text
    for words in ("Brightness on the face, at least, lx", "Default 1000 lx. ISO 3668:2017", "Default 15 %."):
        assert words in page
    assert all(f'name="{name}" value="{value}"' in page for name, value in DEFAULTS.items())
    assert "your own" not in page
    assert "Use the defaults" not in page


def test_checks_from_then_on_use_them_and_earlier_ones_keep_theirs(visitor, owner):
    before = check(visitor)
    own = DEFAULTS | {"least_lux": "1500", "most_cheek_difference": "7,5"}
    assert visitor.post(ADDRESS, own)["Location"] == ADDRESS
    assert kept_lights.thresholds_of(owner) == LightThresholds(least_lux=1500, most_cheek_difference=0.075)
    assert "your own" in visitor.get(ADDRESS).text
    assert "your studio’s own thresholds" in visitor.get("/light").text
    page = page_of(visitor, check(visitor, key="k2"))
    assert "1168 lx, the mean of 5 points. Wanted: 1500 to 4000 lx, your own threshold." in page
    assert "Darker cheek below the brighter, at most: 7.5 %; Tenter&#x27;s default is 10 %." in page
    assert "✓ This light is good for draping." in page_of(visitor, before)
    visitor.post(ADDRESS, {"defaults": "1"})
    assert kept_lights.thresholds_of(owner) == PRACTICE
    assert "Wanted: 1500 to 4000 lx" in page_of(visitor, check(visitor, key="k2"))
    assert "✓" in page_of(visitor, check(visitor, key="k3"))
    assert AuditEntry.objects.filter(action="light's thresholds changed").count() == 2


def test_a_check_from_before_there_were_thresholds_was_judged_by_practice(owner):
    row = KeptLight.objects.create(owner=owner, values={"basis": "meter", "cct": 5600}, by=owner, key="old")
    assert kept_lights.check_in(row).thresholds == PRACTICE


def test_the_change_since_last_time_is_held_to_them_too(visitor):
    visitor.post(ADDRESS, DEFAULTS | {"drift_cct": "500"})
    check(visitor)
    page = page_of(visitor, check(visitor, key="k2", cct="5200"))
    assert "−400 K (yellower)" in page
    assert "than a lamp should change" not in page


@pytest.mark.parametrize(
    ("sent", "field", "words"),
    [
        ({"least_lux": "1k"}, "least_lux", "“1k” can’t be used. Type a number from 0 to 150000 lx."),
        ({"least_ra": "120"}, "least_ra", "It is from 0 to 100, not 120."),
        ({"drift_lux": "-3"}, "drift_lux", "It is from 0 to 100 %, not -3."),
        ({"most_cheek_difference": "101"}, "most_cheek_difference", "It is from 0 to 100 %, not 101."),
        ({"most_duv": ""}, "most_duv", "This is empty. The default is 0.005."),
        (
            {"least_cct": "6900"},
            "least_cct",
            "The least colour temperature is 6900 and the most is 6800. The least has to be lower.",
        ),
    ],
)
def test_what_cannot_be_is_said_at_its_field_and_nothing_is_kept(visitor, sent, field, words):
    answer = visitor.post(ADDRESS, DEFAULTS | sent)
    assert answer.status_code == 422
    assert f'id="id_{field}_error">{words}' in answer.text
    assert not KeptThresholds.objects.exists()


def test_what_is_as_before_is_no_change(visitor):
    visitor.post(ADDRESS, DEFAULTS)
    assert not KeptThresholds.objects.exists()


def test_an_associate_reads_them_and_a_stranger_has_their_own(visitor, owner, stranger):
    visitor.post(ADDRESS, DEFAULTS | {"least_ra": "98"})
    strange = browser_of(stranger)
    assert "98" not in strange.get(ADDRESS).text
    Associate.objects.create(owner=owner, user=stranger)
    page = strange.get(reverse("light-thresholds")).text
    assert "Colour rendering (Ra), at least: 98" in page
    assert "Only the studio’s owner can change them." in page
    assert "<input" not in page[page.index("<main") :]
    for sent in (DEFAULTS, {"defaults": "1"}):
        assert strange.post(ADDRESS, sent).status_code == 404
    assert kept_lights.thresholds_of(owner) == LightThresholds(least_ra=98)
