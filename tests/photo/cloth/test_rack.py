"""A rack of cloths: cells found or given, named in order, empty ones said, the light taken out by the wall."""

import json

import cv2
import numpy as np
import pytest

from studies.scenes.cloth_scene import Drapery, Room, cloth_reflectances, cloth_scene, true_lab
from studies.scenes.exposure import Shot, expose
from tenter.colorimetry.difference import delta_e_2000
from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.photo.cloth.rack import Order, in_order, measure_rack, numbers_from
from tenter.photo.cloth.rack_grid import grid_of
from tenter.photo.cloth.rack_lattice import Wall, found_cells
from tenter.photo.files.loading import photo_from_bytes

ROWS, COLUMNS, EMPTY = 3, 4, (1, 2)
PLACES = {(r, c): (360 + 130 * c, 60 + 200 * r, 100, 150) for r in range(ROWS) for c in range(COLUMNS)}
REFLECTANCE = {place: cloth_reflectances()[41 + 5 * k] for k, place in enumerate(PLACES)}
CORNERS = np.array([[360, 60], [850, 60], [850, 610], [360, 610]], dtype=float)


def rack_photo(gradient=(0.3, -0.2), mottle=0.0):
    cloths = [Drapery(box, REFLECTANCE[place], 2, 15) for place, box in PLACES.items() if place != EMPTY]
    taken = expose(cloth_scene(cloths, Room(gradient=gradient, mottle=mottle), seed=2), "D50", "phone-a", Shot(seed=4))
    return photo_from_bytes(taken.jpeg(), "rack")


@pytest.fixture(scope="module")
def photo():
    """Three rows of four cloths, one place empty, the light falling off by a third across the picture."""
    return rack_photo()


@pytest.fixture(scope="module")
def measured(photo):
    names = in_order(numbers_from("D098", 12), ROWS, COLUMNS, Order.SNAKE)
    return measure_rack(photo, ROWS, COLUMNS, names)


@pytest.fixture(scope="module")
def blotched():
    return measure_rack(rack_photo(mottle=0.1), ROWS, COLUMNS, corners=CORNERS)


def errors(measured):
    cells = {(cell.row - 1, cell.column - 1): cell.colour for cell in measured.cells if cell.colour is not None}
    return {place: float(delta_e_2000(colour.lab, true_lab(REFLECTANCE[place]))) for place, colour in cells.items()}


def test_every_cloth_of_a_rack_is_found_in_its_place_and_read(measured):
    found = errors(measured)
    assert set(found) == set(PLACES) - {EMPTY}
    assert np.median(list(found.values())) < 1.5
    assert max(found.values()) < 4
    for cell in measured.cells:
        left, top, width, height = PLACES[cell.row - 1, cell.column - 1]
        inside = (cell.outline_px > (left, top)) & (cell.outline_px < (left + width, top + height))
        assert cell.empty or inside.all()


def test_an_empty_place_is_said_and_has_no_colour(measured):
    [empty] = [cell for cell in measured.cells if cell.empty]
    assert (empty.row - 1, empty.column - 1) == EMPTY
    assert empty.colour is None
    assert empty.to_json()["reason"]["code"] == "cell_empty"


def test_a_snake_turns_back_at_the_end_of_each_row(measured):
    names = {(cell.row, cell.column): cell.name for cell in measured.cells}
    assert [names[1, c] for c in (1, 2, 3, 4)] == ["D098", "D099", "D100", "D101"]
    assert [names[2, c] for c in (1, 2, 3, 4)] == ["D105", "D104", "D103", "D102"]
    assert names[3, 1] == "D106"


def test_given_corners_read_as_found_ones_do(photo, measured):
    given = errors(measure_rack(photo, ROWS, COLUMNS, corners=CORNERS))
    assert set(given) == set(errors(measured))
    assert np.median(list(given.values())) < 1.5


def test_the_wall_takes_the_light_out_and_a_blotched_one_makes_intervals_wider(measured, blotched):
    assert "taken out" in measured.light
    assert "not taken out" in blotched.light
    plain = {(cell.row, cell.column): cell.colour for cell in measured.cells if cell.colour}
    wider = [
        cell.colour.half_width_90[0] > plain[cell.row, cell.column].half_width_90[0]
        for cell in blotched.cells
        if cell.colour and (cell.row, cell.column) in plain
    ]
    assert np.mean(wider) > 0.8
    assert np.median(list(errors(blotched).values())) > 1.5 * np.median(list(errors(measured).values()))


def test_touching_cloths_are_told_apart_by_even_division():
    cloths = [Drapery((360 + 120 * c, 60 + 180 * r, 120, 180), REFLECTANCE[r, c]) for r, c in PLACES]
    taken = expose(cloth_scene(cloths, seed=2), "D65", "nikon", Shot(seed=4))
    found = errors(measure_rack(photo_from_bytes(taken.jpeg(), "rack"), ROWS, COLUMNS))
    assert len(found) == 12
    assert np.median(list(found.values())) < 1.5


def test_a_rack_that_leans_is_followed():
    """By 10° the last cloth of a row hangs nearly as low as the first one of the next."""
    pool = cloth_reflectances()[41:55]
    cloths = [Drapery((330 + 130 * (k % 7), 120 + 210 * (k // 7), 105, 175), r) for k, r in enumerate(pool) if k != 9]
    scene = cloth_scene(cloths, Room(size=(1300, 760)), card_at=(30, 200), seed=2)
    taken = expose(scene, "D65", "nikon", Shot(seed=4, rotate=10))
    measured = measure_rack(photo_from_bytes(taken.jpeg(), "rack"), 2, 7)
    assert [(cell.row, cell.column) for cell in measured.cells if cell.empty] == [(2, 3)]
    found = {7 * (cell.row - 1) + cell.column - 1: cell.colour.lab for cell in measured.cells if cell.colour}
    assert max(float(delta_e_2000(lab, true_lab(pool[k]))) for k, lab in found.items()) < 4


@pytest.mark.parametrize(("rows", "columns"), [(1, 4), (3, 1)])
def test_one_row_or_one_column_is_found(rows, columns):
    row_or_column = [(r, c) for r in range(rows) for c in range(columns)]
    cloths = [Drapery(PLACES[place], REFLECTANCE[place]) for place in row_or_column]
    taken = expose(cloth_scene(cloths, seed=2), "D65", "nikon", Shot(seed=4, rotate=3))
    found = errors(measure_rack(photo_from_bytes(taken.jpeg(), "rack"), rows, columns))
    assert set(found) == set(row_or_column)
    assert max(found.values()) < 4


def seen(shape, homography=((1, 0, 0), (0, 1, 0), (0, 0, 1))):
    """Return the middles of a rack's cloths, 100 × 200 pixels apart, as a homography shows them, and their places."""
    row, column = (part.ravel() for part in np.indices(shape))
    at = np.stack([100.0 * column, 200.0 * row, np.ones(row.size)], axis=1) @ np.array(homography).T
    return at[:, :2] / at[:, 2:], np.stack([column, row], axis=1)


def test_a_grid_is_followed_through_perspective_and_gaps_and_strays_are_left():
    middles, places = seen((4, 8), ((0.95, 0.12, 30), (-0.15, 1, 160), (0.0003, 0.0001, 1)))
    hung = np.delete(np.arange(32), [0, 9, 10, 21])
    stray = [[1500.0, 900.0]]
    grid = grid_of(np.concatenate([middles[hung], stray]), np.array([70.0, 150.0]))
    assert grid.size == (8, 4)
    assert [tuple(place) for _, place in sorted(zip(grid.blobs, grid.places, strict=True), key=lambda p: p[0])] == [
        tuple(place) for place in places[hung]
    ]
    shown = cv2.perspectiveTransform(places[None] + 0.5, grid.homography(np.concatenate([middles[hung], stray])))[0]
    assert np.abs(shown - middles).max() < 2  # the places of the missing ones too


def test_what_hangs_at_random_is_no_grid():
    middles = np.random.default_rng(3).uniform(0, 800, (20, 2))
    assert grid_of(middles, np.array([70.0, 150.0])) is None


def test_a_wall_of_two_colours_is_not_taken_for_a_rack():
    """Half of such a wall stands out from the other half, and runs from edge to edge of the picture."""
    other = np.ones((100, 150), dtype=bool)
    other[:30, :40] = False  # the card
    wall = Wall(np.zeros(6), even=False, seen=True, other=other, scale=1.0)
    assert found_cells(wall, 3, 7) is None
    other[:, :50] = other[:10] = other[90:] = other[:, 140:] = False
    assert found_cells(wall, 3, 7) is not None  # cloths that touch
    for k in range(12):
        other[k * 8 : k * 8 + 5, 2:38] = True  # much else stands out beside them
    assert found_cells(wall, 3, 7) is None


def test_another_number_of_rows_is_not_found_and_says_how_to_help(photo):
    found = measure_rack(photo, 4, 4)
    assert not found.accepted
    assert found.reasons[0].code == "cloth_not_found"
    assert "--corners" in found.texts[0]


def test_its_json_is_plain(measured):
    written = json.loads(json.dumps(measured.to_json()))
    assert len(written["cells"]) == 12
    assert written["cells"][0]["cloth"]["converted"]["observer"] == "10"
    assert (written["illuminant"], written["observer"], written["accepted"]) == ("D65", "2", True)


def test_names_are_counted_on_and_laid_out():
    assert numbers_from("D009", 3) == ("D009", "D010", "D011")
    assert numbers_from("7b", 2) == ("7b", "8b")
    assert in_order(list("abcdef"), 2, 3, Order.ROWS) == [["a", "b", "c"], ["d", "e", "f"]]
    assert in_order(list("abcdef"), 2, 3, Order.COLUMNS) == [["a", "c", "e"], ["b", "d", "f"]]
    assert in_order(list("abcdef"), 2, 3, Order.SNAKE) == [["a", "b", "c"], ["f", "e", "d"]]


def test_names_and_places_that_cannot_be_are_errors(photo):
    with pytest.raises(TenterError, match="has no number to count on"):
        numbers_from("cloth", 4)
    with pytest.raises(TenterError, match="3 numbers came for 2 rows of 2"):
        in_order(["a", "b", "c"], 2, 2, Order.ROWS)
    with pytest.raises(TenterError, match="given twice: a"):
        in_order(["a", "b", "a", "c"], 2, 2, Order.ROWS)
    with pytest.raises(TenterError, match="0 rows of 4"):
        measure_rack(photo, 0, 4)
    with pytest.raises(TenterError, match="top left, top right"):
        measure_rack(photo, 2, 2, corners=CORNERS[::-1])
    with pytest.raises(TenterError, match="900 × 700"):
        measure_rack(photo, 2, 2, corners=CORNERS + 200)
    with pytest.raises(TenterError, match="chart 'none' came"):
        measure_rack(photo, 2, 2, chart=ChartKind.NONE)
