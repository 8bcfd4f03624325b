"""A client's photographs against one of them: her flush and each region, with intervals, or "cannot tell"."""

import json
import re
from dataclasses import asdict, replace

import pytest

from tenter.photo.regions.regions import Region
from tenter.photo.together.baseline import cheeks_of, flush_between
from tenter.web.models import Client, Photograph
from tenter.web.pictures import measuring, tries
from tests.support.photo_studio import sent

pytestmark = [pytest.mark.usefixtures("folder"), pytest.mark.one_database]


@pytest.fixture
def address(client_row):
    return f"/people/{client_row.pk}/photographs"


def shifted(row, by, regions=(Region.CHEEK_LEFT, Region.CHEEK_RIGHT)):
    """Make a photograph say more or less a* of some regions."""
    result = measuring.face_result_of(row)
    document = json.loads(json.dumps(result.document))
    for name in regions:
        region = document["regions"][name]
        region["lab"][1] += by
        region["lab_interval_90"][1] = [end + by for end in region["lab_interval_90"][1]]
    kept = tries.sealed_document(asdict(replace(result, document=document)), f"{row.name} result")
    Photograph.objects.filter(pk=row.pk).update(result=kept)


def told(page, number):
    """Return what a page says of a photograph against the baseline."""
    return re.search(rf"Photograph {number}</a> compared with.*?</details>", page, re.S)[0]


def test_one_photograph_alone_has_no_baseline(visitor, client_row, address):
    sent(visitor, client_row)
    page = visitor.get(address).text
    assert "The baseline" not in page
    sent(visitor, client_row, only=("measure", "sheet"))
    assert "The baseline" not in visitor.get(address).text, "she has not agreed that they are laid side by side"


def test_what_cannot_be_told_is_not_told(visitor, client_row, address):
    first = sent(visitor, client_row)
    other = sent(visitor, client_row, "p1b.jpg")  # the same face in another light, by another camera
    page = visitor.get(address, {"baseline": first.pk}).text
    found = told(page, 2)
    flush = flush_between(*(cheeks_of(measuring.face_result_of(row).face) for row in (first, other)))
    low, high = flush.redness_90
    assert low < 0 < high
    words = f"{flush.redness:+.1f} (90\u00a0%: {low:+.1f} to {high:+.1f})".replace("-", "−")
    assert f"Redness of the cheeks: <strong>cannot tell</strong>, {words}" in found
    assert found.count('<tr><th scope="row">') == 8
    assert "health of the skin" in page
    assert "Photograph 1</a> compared with" not in page


@pytest.mark.parametrize(("by", "cheeks"), [(9, "redder"), (-9, "less red")])
def test_a_flush_is_told_with_its_interval_and_the_regions_that_differ(visitor, client_row, address, by, cheeks):
    first, other = sent(visitor, client_row), sent(visitor, client_row)
    shifted(other, by)
    found = told(visitor.get(address, {"baseline": first.pk}).text, 2)
    assert f"Redness of the cheeks: <strong>{cheeks}</strong>" in found
    assert "Lightness of the cheeks: <strong>cannot tell</strong>, 0.0" in found
    rows = dict(re.findall(r'<th scope="row">(.*?) <span class="said">(.*?)</span></th>', found))
    assert {name for name, said in rows.items() if said == "differs in a*"} == {"Left cheek", "Right cheek"}
    assert rows["Forehead"] == "cannot tell"
    back = told(visitor.get(address, {"baseline": other.pk}).text, 1)
    assert f"Redness of the cheeks: <strong>{cheeks}</strong>" not in back
    assert "cannot tell</strong>, 0.0" in back


def test_without_a_cheek_there_is_no_flush_and_the_regions_are_compared(visitor, client_row, address):
    first, other = sent(visitor, client_row), sent(visitor, client_row)
    visitor.post(f"/photographs/{other.pk}/again", {"drop": ["cheek_left"], "excluded": "[]"})
    found = told(visitor.get(address, {"baseline": first.pk}).text, 2)
    assert "Flush needs the colours of forehead and both cheeks" in found
    assert "Forehead" in found


@pytest.mark.parametrize("chosen", ["", "x", "999999", "9" * 50])
def test_a_baseline_that_is_none_is_no_fault(visitor, client_row, address, chosen):
    sent(visitor, client_row)
    sent(visitor, client_row)
    page = visitor.get(address, {"baseline": chosen})
    assert page.status_code == 200
    assert page.context["against"] == []
    assert "The baseline" in page.text


def test_anothers_photograph_is_no_baseline(visitor, client_row, address, owner):
    sent(visitor, client_row)
    sent(visitor, client_row)
    elsewhere = sent(visitor, Client.objects.filter(minor=False).exclude(pk=client_row.pk).first())
    assert visitor.get(address, {"baseline": elsewhere.pk}).context["against"] == []
