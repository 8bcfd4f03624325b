"""A face is read as it was written, to the last key, and what contradicts itself is refused."""

import copy
import json
from dataclasses import replace
from pathlib import Path

import pytest

from tenter.colorimetry.measurement import D65_2
from tenter.measured.basis import CalibrationBasis
from tenter.measured.face_parts import WrittenPhotograph, WrittenRegion
from tenter.measured.written_face import WrittenFace
from tenter.measured.written_numbers import NotAMeasurement

# Written by `tenter face measure` before faces crossed as typed things; the README there says of what.
FOLDER = Path(__file__).parents[1] / "data" / "written_faces"
MEASURED = ("accepted", "with-outlines", "refused", "without-card", "several", "several-refused")
GIVEN = "given-to-a-sitting"  # as a sitting keeps it
# As little as any document of an accepted photograph has said.
LEAST = {
    **{"accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2"},
    "regions": {"chin": {"lab": [60, 9, 15], "lab_interval_90": [[59, 61], [8, 10], [14, 16]]}},
}


def read(kind):
    return json.loads((FOLDER / f"{kind}.json").read_text(encoding="utf-8"))


def kept(kind):
    return WrittenFace.from_json(read(kind))


@pytest.fixture(params=[*MEASURED, GIVEN])
def document(request):
    return read(request.param)


# -- read as written ---------------------------------------------------------------------------------------------------


def test_a_real_document_is_written_again(document):
    assert WrittenFace.from_json(document).to_json() == document


@pytest.mark.parametrize("kind", MEASURED)
def test_what_was_measured_is_written_again_to_the_letter(kind):
    assert json.dumps(kept(kind).to_json()) == json.dumps(read(kind))


def test_a_face_is_read_again_as_it_was(document):
    face = WrittenFace.from_json(document)
    assert WrittenFace.from_json(json.loads(json.dumps(face.to_json()))) == face
    assert WrittenFace.from_json(face.colours_alone.to_json()) == face.colours_alone


def test_what_comes_of_a_later_version_is_passed_on():
    later = {**LEAST, "ita_degrees": None, "freckles": [1, 2]}
    assert WrittenFace.from_json(later).to_json() == later


def test_reading_changes_nothing_of_the_document(document):
    before = copy.deepcopy(document)
    WrittenFace.from_json(document).to_json().clear()
    assert document == before


# -- what is said ------------------------------------------------------------------------------------------------------


def test_what_an_accepted_photograph_says():
    face = kept("accepted")
    assert (face.accepted, face.absolute, face.basis, face.conditions) == (True, True, CalibrationBasis.CHART, D65_2)
    assert "forehead" in face.colours
    assert face.colours.keys() < face.regions.keys(), "some regions have a reason and no colour"
    assert face.ita is not None
    assert (face.photographs, face.files_used) == (None, frozenset())


@pytest.mark.parametrize("kind", ["refused", "without-card", "several-refused"])
def test_what_gives_no_colours_is_not_absolute(kind):
    face = kept(kind)
    assert (face.absolute, face.colours, face.ita) == (False, {}, None)


def test_reasons_are_found_by_their_codes():
    assert "chart_not_found" in kept("refused").codes
    assert kept(GIVEN).codes == frozenset()


def test_several_photographs_say_which_were_used():
    face = kept("several")
    assert face.files_used == {"p1a.jpg", "p1b.jpg"}
    assert [one.file for one in face.photographs] == ["cut.png", "p1a.jpg", "p1b.jpg"]
    assert [one.skin_against_all is None for one in face.photographs] == [True, False, False]


def test_colours_alone_are_what_a_sitting_is_given():
    assert kept("several").colours_alone == kept(GIVEN)


def test_a_document_that_says_nothing_gives_no_colours():
    for said in ({"accepted": False}, {"accepted": True, "basis": "relative"}, {"regions": {}}):
        assert not WrittenFace.from_json(said).absolute


# -- refused -----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("lost", LEAST)
def test_an_accepted_face_leaves_nothing_out(lost):
    assert WrittenFace.from_json(LEAST).absolute
    with pytest.raises(NotAMeasurement, match=f"it has no '{lost}'|absolute colours need an accepted"):
        WrittenFace.from_json({name: said for name, said in LEAST.items() if name != lost})


@pytest.mark.parametrize(
    ("changed", "named"),
    [
        ({"accepted": "yes"}, "accepted"),
        ({"basis": "absolute"}, "absolute"),
        ({"illuminant": "D66"}, "D66"),
        ({"observer": "3"}, "3"),
        ({"regions": []}, "items"),
        ({"regions": {"chin": {}}}, "it has no 'lab'"),
        ({"regions": {"chin": {**LEAST["regions"]["chin"], "lab": [60, 9]}}}, "lab needs three numbers"),
        ({"reasons": 3}, "rows"),
        ({"reasons": [{"code": "blurred"}]}, "it has no 'text'"),
        ({"relative": [{"from": "chin", "to": "nose"}]}, "it has no 'interval_90'"),
        ({"ita_degrees": {"value": 40, "class": "pale"}}, "pale"),
        ({"photographs": {"file": "a.jpg"}}, "rows"),
        ({"chart": "found"}, "section"),
    ],
)
def test_what_was_never_written_is_refused_with_what_is_wrong(changed, named):
    with pytest.raises(NotAMeasurement, match=named):
        WrittenFace.from_json({**LEAST, **changed})


@pytest.mark.parametrize("junk", [None, 3, "face", [], [LEAST]])
def test_what_is_no_object_is_no_face(junk):
    with pytest.raises(NotAMeasurement, match="not a JSON object"):
        WrittenFace.from_json(junk)


def test_another_document_is_no_face():
    for other in ({}, {"basis": "chart", "cloth": {}}):
        with pytest.raises(NotAMeasurement, match="neither 'accepted' nor 'regions'"):
            WrittenFace.from_json(other)


def test_colours_need_an_accepted_photograph_with_a_card():
    face = WrittenFace.from_json(LEAST)
    for changed in ({"accepted": False}, {"basis": CalibrationBasis.RELATIVE}):
        with pytest.raises(NotAMeasurement, match="absolute colours need an accepted photograph with a card"):
            replace(face, **changed)
    nothing = {"chin": WrittenRegion(None, None, 0, "no card")}
    several = (WrittenPhotograph("a.jpg", used=False),)
    assert not replace(face, accepted=False, regions=nothing, photographs=several).absolute
