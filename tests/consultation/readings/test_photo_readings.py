"""The JSON of a measured photograph becomes readings with their intervals; a refused photograph becomes none."""

import json

import numpy as np
import pytest

from tenter.colorimetry.measurement import D65_2
from tenter.consultation.readings.cloth_reading import GivenAs
from tenter.errors import UnreadableInput
from tenter.photo.cloth.colour import ClothColour
from tenter.photo.cloth.even_part import KeptPart
from tests.support.readings_given import parsed

CLOTH = {"lab": [52.1, 30.2, 14.0], "lab_interval_90": [[50.1, 54.1], [28.7, 31.7], [12.0, 16.0]], "kept": 0.9}
HEAD = {"accepted": True, "reasons": [], "basis": "chart", "illuminant": "D65", "observer": "2"}


def rack(*cells, **head):
    return json.dumps({**HEAD, **head, "cells": list(cells), "light": ""})


def test_a_photographed_cloth_is_a_reading_of_the_cloth_that_is_named():
    [one] = parsed(json.dumps({**HEAD, "cloth": CLOTH, "palette": None}), cloth="D001").readings
    assert (one.cloth, one.lab, one.conditions) == ("D001", (52.1, 30.2, 14.0), D65_2)
    assert one.half_width_90 == pytest.approx((2.0, 1.5, 2.0))
    assert (one.given_as, one.how.instrument) == (GivenAs.PHOTOGRAPH, "photograph")


def test_a_photographed_rack_is_a_reading_for_each_cloth_with_a_colour():
    cells = [{"name": "D001", "cloth": CLOTH, "doubt": "a fold"}, {"name": "D002", "cloth": None, "empty": True}]
    found = parsed(rack(*cells), instrument="phone")
    assert [(one.cloth, one.row, one.how.note) for one in found.readings] == [("D001", 1, "a fold")]
    assert found.readings[0].how.instrument == "phone"
    assert found.remarks == ("No colour was read at D002.",)


def test_what_a_measured_cloth_writes_is_read():
    lab, half = np.array([52.0, 30.0, 14.0]), np.array([2.0, 1.5, 1.5])
    part = KeptPart(kept=0.9, darker=0.1, lighter=0.0, other=0.0)
    cloth = ClothColour(lab=lab, for_kit=lab, half_width_90=half, spread=half, part=part, pixels=900).to_json()
    [one] = parsed(json.dumps({**HEAD, "cloth": cloth}), cloth="D001").readings
    assert one.lab == (52, 30, 14)
    assert one.half_width_90 == pytest.approx((2.0, 1.5, 1.5))


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ('{"accepted": true', "not JSON"),
        ('{"regions": {}}', "this is no measured cloth or rack"),
        (rack({"name": "A", "cloth": CLOTH}, accepted=False), "the photograph was refused"),
        (rack({"name": "A", "cloth": CLOTH}, basis="relative"), "the photograph was refused, or gives no colours"),
        (rack({"name": "A", "cloth": CLOTH}, illuminant="D66"), "no illuminant is called 'D66'"),
        (rack({"name": "A", "cloth": {**CLOTH, "lab": [1, 2]}}), "row 1, column cloth: a list of 3 is needed"),
        (rack({"name": "A", "cloth": {**CLOTH, "lab": [1, 2, True]}}), "the Lab of a cloth is 3 finite numbers"),
        (rack({"name": "A", "cloth": {**CLOTH, "lab": [150, 2, 3]}}), r"row 1, column cloth: L\* is a finite number"),
        (rack({"name": "A", "cloth": {**CLOTH, "lab_interval_90": [[2, 1]] * 3}}), "a half-width is a finite number"),
        (rack({"name": "A", "cloth": {**CLOTH, "lab": [3, 120, -90]}}), "row 1, column L: no surface has"),
        (rack({"name": "A", "cloth": "red"}), "row 1, column cloth"),
        (rack("red"), "no list of cloths"),
        (rack({"name": "A", "cloth": None}), "no cloth in it has a colour"),
        (rack({"name": "A", "cloth": CLOTH}).replace("52.1", "NaN"), "finite numbers"),
    ],
)
def test_what_is_no_measured_cloth_is_refused_in_words(text, said):
    with pytest.raises(UnreadableInput, match=said):
        parsed(text, cloth="D001")
