"""`--same-face`: photographs of one face become one measurement, by function and by command."""

import json
import shutil
from itertools import permutations

import numpy as np
import pytest
from numpy.testing import assert_allclose
from PIL import Image
from typer.testing import CliRunner

from tenter.cli.main import app
from tenter.colorimetry.spaces import decode_srgb, encode_srgb
from tenter.consultation.client.face import Face
from tenter.measured.basis import CalibrationBasis
from tenter.measured.written_face import WrittenFace
from tenter.photo.cards import ChartKind
from tenter.photo.face.measure import measure_face
from tenter.photo.files.loading import Photo
from tenter.photo.regions.regions import SKIN, Region
from tenter.photo.together.compare import TooFewMeasured
from tenter.photo.together.measure import NotForTogether, OneOfSeveral, measure_together


@pytest.fixture(scope="module")
def documents(measured):
    return {file: result.to_json() for file, result in measured.items()}


@pytest.fixture(scope="module")
def near_lamp(portraits):
    """The second portrait of the first face with a card that gets a third more light than the face."""
    portrait = portraits["p1b.jpg"]
    left, top, right, bottom = portrait.card_box
    light = decode_srgb(portrait.rgb / 255)
    light[top - 12 : bottom + 12, left - 12 : right + 12] *= 1.35
    return (encode_srgb(light) * 255 + 0.5).astype(np.uint8)


@pytest.fixture(scope="module")
def odd_document(near_lamp):
    measured = measure_face(Photo(near_lamp))
    assert measured.accepted
    return measured.to_json()


@pytest.fixture(scope="module")
def cardless(portraits):
    """What is said of a portrait whose card was cut away."""
    rgb = portraits["p1a.jpg"].rgb
    measured = measure_face(Photo(np.ascontiguousarray(rgb[:, : int(rgb.shape[1] * 0.6)])))
    assert not measured.accepted
    return measured.to_json()


def together(*documents):
    faces = map(WrittenFace.from_json, documents)
    return measure_together([OneOfSeveral.of(face, f"{n}.jpg") for n, face in enumerate(faces)])


def intervals(document):
    regions = document["regions"]
    return {name: np.array(regions[name]["lab_interval_90"]) for name in SKIN if regions[name]["lab"] is not None}


def test_two_that_agree_give_one_measurement_between_them_that_is_no_wider(documents):
    one, other = documents["p1a.jpg"], documents["p1b.jpg"]
    found = together(one, other)
    assert found.agreement.agree
    assert found.measured.accepted
    for region in SKIN:
        colour = found.measured.regions[region]
        labs = np.array([document["regions"][region]["lab"] for document in (one, other)])
        assert (colour.lab >= labs.min(axis=0) - 0.05).all()
        assert (colour.lab <= labs.max(axis=0) + 0.05).all()
    single = np.mean([np.diff(found)[:, 0] for document in (one, other) for found in intervals(document).values()], 0)
    both = np.mean([np.diff(found)[:, 0] for found in intervals(found.to_json()).values()], 0)
    assert (both < single).all()


def with_card_at(document, corners):
    """The same, its card held elsewhere beside the face."""
    return {**document, "for_together": {**document["for_together"], "card_beside_face": corners.tolist()}}


def test_a_card_that_was_not_moved_makes_lightness_no_surer_than_its_light_is(documents):
    one, other = documents["p1a.jpg"], documents["p1b.jpg"]
    place = np.array(one["for_together"]["card_beside_face"])
    stayed, moved = (together(one, with_card_at(other, place + by)) for by in (0.01, np.array([0.2, 0.0])))
    assert (stayed.agreement.card_moved, moved.agreement.card_moved) == (False, True)
    assert stayed.agreement.agree
    for region in SKIN:
        light = min(d["for_together"]["interval_parts"][region]["card_light"][0] for d in (one, other))
        widths = [found.measured.regions[region].half_width_90[0] for found in (stayed, moved)]
        assert widths[0] >= light
        assert widths[1] < widths[0]


def test_the_truth_lies_in_the_interval_of_both(documents, portraits):
    inside = []
    for face in ("p1", "p2", "p3", "p4"):
        found = together(documents[f"{face}a.jpg"], documents[f"{face}b.jpg"])
        for region in SKIN:
            colour, true = found.measured.regions[region], portraits[f"{face}a.jpg"].true_lab(region)
            inside.append(np.abs(colour.lab - true) <= colour.half_width_90)
    assert (np.mean(inside, axis=0) >= 0.8).all()


def test_photographs_that_disagree_are_all_held_by_the_interval(documents, odd_document):
    found = together(documents["p1a.jpg"], odd_document)
    assert not found.agreement.agree
    assert str(found.measured.reasons[0].code) == "photographs_disagree"
    assert str(found.measured.verdict) == "accepted_wider"
    held = intervals(found.to_json())
    for document in (documents["p1a.jpg"], odd_document):
        for region, interval in held.items():
            lab = np.array(document["regions"][region]["lab"])
            assert (lab >= interval[:, 0] - 1e-3).all(), region
            assert (lab <= interval[:, 1] + 1e-3).all(), region


def test_of_three_the_odd_one_is_named_and_weighs_less(documents, odd_document):
    found = together(documents["p1a.jpg"], odd_document, documents["p1b.jpg"])
    assert found.to_json()["agreement"]["odd_one_out"] == "1.jpg"
    assert "1.jpg shows the whole face" in found.text
    two = together(documents["p1a.jpg"], documents["p1b.jpg"])
    for region in SKIN:
        plain = two.measured.regions[region].lab[0]
        off = odd_document["regions"][region]["lab"][0]
        assert abs(found.measured.regions[region].lab[0] - plain) < abs(off - plain) / 4


def test_the_order_of_the_photographs_changes_no_number_that_is_shown(documents, odd_document):
    given = [documents["p1a.jpg"], odd_document, documents["p1b.jpg"]]
    first = together(*given).to_json()
    for order in permutations(given):
        again = together(*order).to_json()
        for region, colour in first["regions"].items():
            if colour["lab"] is not None:
                assert_allclose(again["regions"][region]["lab"], colour["lab"], atol=0.0011)
                assert_allclose(again["regions"][region]["lab_interval_90"], colour["lab_interval_90"], atol=0.0011)
        assert again["ita_degrees"]["value"] == pytest.approx(first["ita_degrees"]["value"], abs=0.011)


def test_the_document_is_that_of_one_photograph_and_what_several_add(documents, cardless):
    found = together(documents["p1a.jpg"], cardless, documents["p1b.jpg"])
    document = json.loads(json.dumps(found.to_json()))
    assert list(document) == [*documents["p1a.jpg"], "photographs", "agreement"]
    assert [(one["file"], one["accepted"], one["used"]) for one in document["photographs"]] == [
        ("0.jpg", True, True),
        ("1.jpg", False, False),
        ("2.jpg", True, True),
    ]
    assert document["photographs"][1]["reasons"][0]["code"] == "chart_not_found"
    assert document["photographs"][1]["skin_against_all"] is None
    assert document["agreement"]["agree"] is True
    assert "known to ±" in document["agreement"]["text"]
    assert document["basis"] == "chart"
    assert document["chart"]["found"]
    assert len(document["relative"]) == len(documents["p1a.jpg"]["relative"])
    assert len(Face.from_json(document).regions) == sum(r["lab"] is not None for r in document["regions"].values())
    assert "mesh" not in json.dumps(document)


def test_one_accepted_photograph_speaks_for_itself_and_that_is_said(documents, cardless):
    found = together(cardless, documents["p1a.jpg"])
    assert found.agreement is None
    assert found.to_json()["agreement"]["agree"] is None
    assert str(found.measured.reasons[0].code) == "one_photograph"
    assert "Only 1.jpg counts of 2 photographs" in found.text
    for region, colour in documents["p1a.jpg"]["regions"].items():
        assert found.to_json()["regions"][region]["lab"] == colour["lab"]
        if colour["lab"] is not None:
            assert_allclose(found.to_json()["regions"][region]["lab_interval_90"], colour["lab_interval_90"], atol=2e-3)


def test_the_same_photograph_twice_counts_once(documents):
    found = together(documents["p1a.jpg"], documents["p1b.jpg"], documents["p1a.jpg"])
    assert found.used == (True, True, False)
    twice = together(documents["p1a.jpg"], documents["p1a.jpg"])
    assert twice.used == (True, False)
    assert "Only 0.jpg counts" in twice.text


def test_none_accepted_is_refused_with_the_reasons_of_all(cardless):
    found = together(cardless, cardless)
    assert not found.measured.accepted
    assert found.measured.basis is CalibrationBasis.RELATIVE
    assert all(colour.lab is None for colour in found.measured.regions.values())
    assert "0.jpg, 1.jpg: No 24-patch card was found" in found.measured.reasons[0].text


@pytest.fixture
def tilted(documents):
    """A photograph that was refused for one reason, which is a note where it is not strong: a card turned too far."""
    unread = {"lab": None, "lab_interval_90": None, "reason": "no colour without an accepted card"}
    regions = {name: {**region, **unread} for name, region in documents["p1a.jpg"]["regions"].items()}
    reasons = [{"code": "uneven_light", "text": "From the side."}, {"code": "card_tilted", "text": "Turned too far."}]
    nothing = {"accepted": False, "basis": "relative", "ita_degrees": None}
    return {**documents["p1a.jpg"], **nothing, "regions": regions, "reasons": reasons}


def test_one_that_a_strong_sign_refused_is_said_to_be_refused(documents, tilted):
    alone = together(tilted).measured
    assert not alone.accepted
    assert [reason.text for reason in alone.reasons if reason.refuses] == ["0.jpg: Turned too far."]
    found = together(tilted, documents["p1b.jpg"])
    assert [one.accepted for one in found.photographs] == [False, True]
    assert found.measured.accepted


def test_photographs_without_a_card_cannot_be_told_to_agree(portrait):
    document = measure_face(Photo(portrait.rgb), ChartKind.NONE).to_json()
    with pytest.raises(TooFewMeasured, match="0 of 2"):
        together(document, document)


@pytest.mark.parametrize("lost", ["for_together", "hair", "interval_parts"])
def test_a_measurement_of_an_earlier_version_is_to_be_measured_again(documents, lost):
    document = {key: value for key, value in documents["p1a.jpg"].items() if key != lost}
    if lost == "interval_parts":
        document["for_together"] = {"interval_parts": {}, "card_beside_face": None}
    with pytest.raises(NotForTogether, match="measure it again"):
        OneOfSeveral.of(WrittenFace.from_json(document), "old.jpg")


def test_the_notes_of_the_photographs_are_said_once_with_their_names(documents):
    notes = [reason.text for reason in together(documents["p1a.jpg"], documents["p1b.jpg"]).measured.reasons]
    assert sum("light comes from the side" in note for note in notes) == 1
    assert notes[-1].startswith("0.jpg, 1.jpg: ")


def test_where_the_card_was_held_beside_the_face_is_known(measured, documents):
    place = np.array(documents["p1a.jpg"]["for_together"]["card_beside_face"])
    assert place.shape == (4, 2)
    assert (place[:, 0] > 0.5).all()  # on the person's own left, beyond the side of the face
    assert measured["p1a.jpg"].card_beside_face is not None


# -- the command -------------------------------------------------------------------------------------------------------


@pytest.fixture
def run():
    return lambda *arguments: CliRunner().invoke(app, ["face", "measure", "--same-face", *map(str, arguments)])


@pytest.fixture
def two(portraits, tmp_path):
    folder = tmp_path / "face"
    folder.mkdir()
    for name in ("p1a.jpg", "p1b.jpg"):
        shutil.copy(portraits[name].path, folder)
    return folder


def test_a_folder_of_one_face_is_one_result(run, two, documents):
    (two / "broken.jpg").write_bytes(b"\xff\xd8 no picture")
    done = run(two, "--json")
    assert done.exit_code == 0, done.stderr
    document = json.loads(done.stdout)
    assert document["regions"] == together(documents["p1a.jpg"], documents["p1b.jpg"]).to_json()["regions"]
    files = {one["file"].rsplit("/", 1)[1]: one for one in document["photographs"]}
    assert files["broken.jpg"]["reasons"][0]["code"] == "unreadable"
    assert not files["broken.jpg"]["used"]
    assert list(two.parent.iterdir()) == [two], "no folder of results is made"


def test_for_a_person_it_says_what_they_come_to_and_draws_each(run, two, tmp_path):
    drawn = tmp_path / "drawn"
    done = run(*sorted(two.iterdir()), "--picture", drawn)
    assert done.exit_code == 0, done.stderr
    assert done.stdout.startswith("The 2 photographs agree")
    assert "p1a.jpg: used. Its skin against that of all: L*" in done.stdout
    assert "forehead" in done.stdout
    assert sorted(file.name for file in drawn.iterdir()) == ["p1a.jpg.png", "p1b.jpg.png"]


def test_a_refused_one_is_left_out_and_none_accepted_ends_with_3(run, two, portraits):
    rgb = portraits["p1a.jpg"].rgb
    cut = two / "cut.png"
    Image.fromarray(rgb[:, : int(rgb.shape[1] * 0.6)]).save(cut)
    done = run(two / "p1a.jpg", cut)
    assert done.exit_code == 0
    assert "Only p1a.jpg counts of 2 photographs" in done.stdout
    assert "cut.png: left out. No 24-patch card was found" in done.stdout
    done = run(cut, "--json")
    assert done.exit_code == 3
    assert json.loads(done.stdout)["accepted"] is False


def test_an_earlier_photograph_may_be_the_baseline(run, two, documents, tmp_path):
    baseline = tmp_path / "earlier.json"
    baseline.write_text(json.dumps(documents["p1a.jpg"]), encoding="utf-8")
    done = run(two / "p1b.jpg", two / "p1a.jpg", "--baseline", baseline, "--json")
    assert done.exit_code == 0
    assert json.loads(done.stdout)["flush"]["redness"]["redder"] == "cannot tell"


@pytest.mark.parametrize(
    ("arguments", "said"),
    [
        (("nothing.jpg",), "there is no nothing.jpg"),
        (("{two}", "--chart", "none"), "beside a card"),
        (("{two}", "--out", "x"), "--out came with --same-face"),
        (("{two}", "--again"), "--again came with --same-face"),
        (("{two}", "--outlines"), "--outlines came with --same-face"),
        (("{two}", "--picture", "x.png"), "give it a folder"),
        (("{two}/none",), "no photograph was found"),
        (("{two}/broken",), "none of the photographs can be read"),
    ],
)
def test_what_cannot_be_used_ends_with_2(run, two, arguments, said):
    (two / "none").mkdir()
    (two / "broken").mkdir()
    (two / "broken" / "a.jpg").write_bytes(b"\xff\xd8 no picture")
    done = run(*(argument.replace("{two}", str(two)) for argument in arguments))
    assert done.exit_code == 2
    assert done.stdout == ""
    assert said in done.stderr.replace("\n", " ")


def test_the_help_advises_a_second_photograph():
    help_text = CliRunner().invoke(app, ["face", "measure", "--help"]).stdout
    said = " ".join(help_text.replace("│", " ").split())
    assert "Take two photographs, and move or turn the card between them" in said


def test_regions_read_in_one_photograph_alone_keep_its_interval(documents):
    without = json.loads(json.dumps(documents["p1b.jpg"]))
    without["regions"]["chin"] |= {"lab": None, "lab_interval_90": None, "reason": "left out, as you asked"}
    found = together(documents["p1a.jpg"], without)
    single = documents["p1a.jpg"]["regions"]["chin"]
    assert found.to_json()["regions"]["chin"]["lab"] == single["lab"]
    assert Region.CHIN not in found.agreement.regions
