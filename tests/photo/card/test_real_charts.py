"""The real photographs are those that their manifest lists, and what the study reads of them is what it says."""

import hashlib
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from studies.camera.bench_real import RealPhoto, repeats, targets_of
from studies.camera.real_charts import PHOTOS, SKIN_PATCHES, CardInPicture, Seen, Wanted, look, wanted_of
from tenter.photo.card.calibration import calibrate
from tenter.photo.files.loading import load_photo
from tenter.photo.patches.chart import find_chart
from tenter.photo.patches.reference import CardValues, classic24

MANIFEST = json.loads((PHOTOS / "manifest.json").read_text(encoding="utf-8"))


def test_every_photograph_is_the_one_that_was_listed():
    for entry in MANIFEST:
        assert hashlib.sha256((PHOTOS / entry["file"]).read_bytes()).hexdigest() == entry["sha256"], entry["file"]


def test_every_photograph_has_its_licence_beside_it():
    licences = (PHOTOS / "LICENSES.txt").read_text(encoding="utf-8")
    for entry in MANIFEST:
        assert entry["file"].rsplit("-", 1)[0] in licences, entry["file"]


def test_what_should_become_of_each_is_read_from_the_manifest():
    kinds = [wanted.kind for wanted in wanted_of(PHOTOS)]
    assert [kinds.count(kind) for kind in ("whole", "cut", "covered", "copied")] == [10, 2, 1, 1]


@pytest.fixture(scope="module")
def small_card():
    photo = load_photo(PHOTOS / "cards-1.png")
    found = find_chart(photo)
    calibration = calibrate(classic24(), (found, found.turned_half()), photo)
    return CardInPicture(photo, calibration.reading, replace(calibration.correction, doubt=(9.0, 0.0, 0.0)))


@pytest.mark.parametrize("patch", SKIN_PATCHES.values(), ids=SKIN_PATCHES)
def test_a_hidden_patch_is_not_in_the_fit_and_the_others_are(small_card, patch):
    whole, without = (small_card.without(hidden, CardValues.MEAN_OF_30) for hidden in (None, patch))
    assert np.flatnonzero(whole.used != without.used).tolist() == [patch]
    assert small_card.by(without).doubt == (9.0, 0.0, 0.0)  # what was said of the card holds for it still
    assert np.array_equal(small_card.by(without).for_skin.weights, without.for_skin.weights)


def test_a_photograph_says_what_became_of_its_card_and_of_the_hidden_patches():
    (wanted,) = (one for one in wanted_of(PHOTOS) if one.path.name == "cards-1.png")
    seen = look(wanted)
    assert seen.found
    assert seen.accepted == (not seen.refused_for)
    assert {name for some in seen.hidden.values() for name in (one.name for one in some)} == set(SKIN_PATCHES)
    assert all(0.1 < one.error < 10 for some in seen.hidden.values() for one in some)


def place(lab, half=1.0):
    return Seen("paper 0", np.array(lab, dtype=float), np.full(3, half))


def photo(number, lab):
    wanted = Wanted(Path(f"scene-{number}.jpg"), "card", "whole")
    return RealPhoto(wanted, True, (), (), None, None, {}, (place(lab),))


def test_a_place_repeats_where_it_is_near_the_others():
    photos = [photo(1, (90, 0, 0)), photo(2, (90.6, 0, 0)), photo(3, (93, 0, 0))]
    (seen,) = repeats(photos).values()
    assert [bool(one.inside[0]) for one in seen] == [False, True, False]  # off by 1.8, 0.9 and 2.7 against ± 1
    assert all(one.inside[1:].all() for one in seen)
    assert repeats(photos[:2]) == {}


def test_whole_cards_accepted_never_count_without_spoiled_ones_refused():
    whole = RealPhoto(Wanted(Path("a-1.jpg"), "a", "whole"), True, (), (), None, None, {}, ())
    cut = RealPhoto(Wanted(Path("a-2.jpg"), "a", "cut"), True, (), (), None, None, {}, ())
    refused, accepted = targets_of([whole, cut], "mean-of-30")[:2]
    assert refused.passes
    assert not accepted.passes
