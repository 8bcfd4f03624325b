"""The palette's file: what is written is read back, and a garment can be checked from it alone."""

import json

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter import Method
from tenter.consultation.conventions.method_writing import method_document
from tenter.consultation.personal.document import palette_document, palette_from, read_palette
from tenter.errors import UnreadableInput
from tests.support.clients.palette_clients import client


@pytest.fixture(scope="module")
def document():
    known, palette = client("soft summer")
    return json.loads(json.dumps(palette_document("K9", palette, known)))


@pytest.mark.parametrize("name", ["four-by-three", "depth-first", "four-seasons"])
def test_a_method_is_written_with_every_field_and_read_back(name):
    method = Method.bundled(name)
    written = json.loads(json.dumps(method_document(method)))
    read = Method.of_document(written)
    assert method_document(read) == method_document(method)
    colours = np.array([[50.0, 20, 30], [30, -5, -20]])
    assert np.array_equal(read.places(colours, ["red", "blue"]), method.places(colours, ["red", "blue"]))


def test_a_palette_is_read_back_as_it_was_written(document):
    _, palette = client("soft summer")
    kept = palette_from(document)
    assert (kept.client, kept.palette.categories) == ("K9", ("soft summer",))
    for part in ("colours", "metals", "borrowed"):
        for read, written in zip(getattr(kept.palette, part), getattr(palette, part), strict=True):
            assert (read.lab, read.name, read.part, read.fit, read.title) == (
                written.lab,
                written.name,
                written.part,
                written.fit,
                written.title,
            )
            assert read.suitability == pytest.approx(written.suitability, abs=1e-6)
    assert kept.palette.missing == palette.missing
    assert kept.palette.staples == palette.staples
    assert kept.palette.conditions == palette.conditions
    assert palette_document("K9", kept.palette, kept.known)["colours"] == document["colours"]


def test_a_garment_can_be_judged_from_the_file_alone(document):
    known, _ = client("soft summer")
    kept = palette_from(document)
    lab, families = np.array([[60.0, 18, 2], [55, 60, 40]]), ["pink", "red"]
    for one, other in ((known, kept.known),):
        assert_allclose(
            one.suitability(one.places(lab, families)), other.suitability(other.places(lab, families)), atol=1e-6
        )
    mine, poor = kept.known.suitability(kept.known.places(lab, families))
    assert mine > 0.5 > poor


def test_the_contracts_keys_are_there(document):
    first = document["colours"][0]
    assert {
        "lab",
        "illuminant",
        "observer",
        "name",
        "hue_family",
        "role",
        "fit",
        "basis",
        "cloth",
        "suitability",
    } <= set(first)
    assert (first["illuminant"], first["observer"]) == ("D65", "10")
    assert len(first["interval_90"]) == 2
    assert {"missing", "staples", "posterior", "method"} <= set(document)
    assert {"metal"} <= {c["role"] for c in document["colours"]}


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda d: d.pop("method"), "the field 'method' is missing"),
        (lambda d: d["colours"][3].update(role="hat"), "no word is called 'hat'"),
        (lambda d: d["colours"][3].update(lab=[1, 2]), "a list of 3 is needed"),
        (lambda d: d["colours"][3].update(suitability=1.5), "a number from 0 to 1"),
        (lambda d: d["posterior"]["weights"].pop(), "shapes"),
        (lambda d: d["method"].pop("phases"), "phases"),
        (lambda d: d["colours"][2].update(observer="2"), "share one illuminant"),
    ],
)
def test_a_faulty_file_says_what_is_wrong(document, tmp_path, change, said):
    faulty = json.loads(json.dumps(document))
    change(faulty)
    path = tmp_path / "palette.json"
    path.write_text(json.dumps(faulty), encoding="utf-8")
    with pytest.raises(UnreadableInput, match=said):
        read_palette(path)


@pytest.mark.parametrize("text", ["", "[]", "{", "[" * 5000, '"palette"'])
def test_what_is_no_palette_says_so(tmp_path, text):
    path = tmp_path / "palette.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableInput):
        read_palette(path)
