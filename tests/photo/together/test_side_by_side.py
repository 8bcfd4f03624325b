"""Two photographs side by side: corrected alike, cut alike, and left out where their light cannot be taken out."""

from dataclasses import replace
from importlib.resources import as_file, files

import numpy as np
import pytest

from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.photo.face.result import RegionColour
from tenter.photo.files.loading import Photo, load_photo
from tenter.photo.together import side_by_side as module
from tenter.photo.together.side_by_side import side_by_side
from tenter.report.client_paper.photo_pair import photo_pair

NAMES = ("best.jpg", "less.jpg")


def lit(rgb, gains):
    """Return a photograph as another light and exposure would have written it."""
    linear = (rgb / 255.0) ** 2.2 * gains
    return Photo(np.round(255 * linear ** (1 / 2.2)).astype(np.uint8))


@pytest.fixture(scope="module")
def seen():
    """Return two photographs with what was seen in each, worked out once."""
    with as_file(files("tenter.demo_studio") / "portraits" / "K5.jpg") as path:
        photo = load_photo(path)
    return [(p, module._seen(p, ChartKind.CLASSIC24, None)) for p in (photo, lit(photo.rgb, [0.82, 0.9, 0.95]))]


@pytest.fixture
def pair(seen, monkeypatch):
    found = {id(photo): one for photo, one in seen}
    measure = module._seen

    def known_or_measured(photo, card, forehead):
        return found[id(photo)] if id(photo) in found and forehead is None else measure(photo, card, forehead)

    monkeypatch.setattr(module, "_seen", known_or_measured)
    (one, _), (other, _) = seen
    return one, other, side_by_side([one, other], NAMES)


def test_one_face_in_two_lights_comes_out_alike_and_of_one_size(pair):
    one, other, found = pair
    assert found.left_out == ""
    first, second = found.pictures
    assert first.shape == second.shape
    before, after = (float(np.abs(a.astype(int) - b).mean()) for a, b in ((one.rgb, other.rgb), (first, second)))
    assert after < before / 3


def test_they_are_printed_only_where_the_client_agreed(pair):
    _, _, found = pair
    with pytest.raises(TenterError, match="agreed"):
        photo_pair(found, agreed=False)
    printed = photo_pair(found, agreed=True)
    assert printed.best.address.startswith("data:image/jpeg;base64,")
    assert (printed.best.width, printed.best.height) == (printed.other.width, printed.other.height)
    assert "corrected by the" in printed.note
    assert "corrected by the card" in printed.best.words


def test_light_that_the_card_cannot_take_out_leaves_them_out(monkeypatch, pair):
    one, other, _ = pair
    known = module._seen

    def shifted(photo, *asked):
        found = known(photo, *asked)
        if photo is one:
            return found
        far = replace(found.forehead, lab=found.forehead.lab + np.array([0, 0, 15.0]))
        return replace(found, forehead=far)

    monkeypatch.setattr(module, "_seen", shifted)
    found = side_by_side([one, other], NAMES)
    assert found.pictures is None
    assert "their light differs by more than the card can take out" in found.left_out
    assert photo_pair(found, agreed=True) is None


def test_a_photograph_that_is_not_accepted_is_named(pair):
    one, _, _ = pair
    blank = Photo(np.full(one.rgb.shape, 128, np.uint8))
    found = side_by_side([one, blank], NAMES)
    assert found.pictures is None
    assert found.left_out.startswith("less.jpg is not accepted: ")


def test_what_was_measured_before_is_not_measured_again(monkeypatch, seen, pair):
    one, other, found = pair
    monkeypatch.setattr(module, "measure_found", lambda *_: pytest.fail("it was measured already"))
    known = RegionColour.of_written(seen[1][1].forehead.written)
    again = side_by_side([one, other], NAMES, foreheads=(None, known))
    assert [np.array_equal(a, b) for a, b in zip(found.pictures, again.pictures, strict=True)] == [True, True]


def test_where_the_forehead_was_left_out_nothing_tells_of_the_light(pair):
    one, other, _ = pair
    dropped = RegionColour(None, None, 0, "left out, as you asked")
    found = side_by_side([one, other], NAMES, foreheads=(None, RegionColour.of_written(dropped.written)))
    assert found.left_out.startswith("the forehead cannot be read in both")
