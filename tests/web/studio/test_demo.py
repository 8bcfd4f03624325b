"""The demo studio shows a measured kit and a checked light on the first day."""

import pytest

from tenter.web.models import KeptLight, KitRecord, Sitting
from tenter.web.store import kept_lights
from tenter.web.studio.demo import measure_workshop


@pytest.fixture
def record(owner):
    record = KitRecord.objects.get(owner=owner)
    measure_workshop(owner, record)
    return record


def test_the_demo_kit_has_readings_of_which_one_cloth_has_faded(record, visitor):
    assert record.readings.count() == 72
    page = visitor.get(f"/kit/{record.pk}/readings").text
    assert "D061" in page
    assert "lost 5 chroma" in page


def test_the_demo_light_was_checked_before_the_first_sitting_and_has_a_fault(record, visitor):
    [row] = KeptLight.objects.all()
    assert kept_lights.light_of_sitting(Sitting.objects.earliest("started")) == row
    page = visitor.get(f"/light/{row.pk}").text
    assert "Rendering of strong red (R9)" in page
    assert "To correct" in page
