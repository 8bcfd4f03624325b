import pytest

from tenter.errors import TenterError, UnknownName
from tenter.light.face_lux import FACE_POINTS, FaceLux, face_lux_from


def test_five_points_say_mean_balance_and_uniformity():
    found = face_lux_from("forehead=1200, cheek_left=1000, cheek right: 800 lx, nose=1100,chin=900")
    assert tuple(found.points) == FACE_POINTS
    assert found.mean == pytest.approx(1000)
    assert found.cheek_difference == pytest.approx(0.2)
    assert found.uniformity == pytest.approx(800 / 1200)


def test_one_value_stands_for_the_face():
    found = face_lux_from("1200")
    assert (found.mean, found.points, found.cheek_difference, found.uniformity) == (1200, {}, None, None)


def test_dark_cheeks_are_alike():
    assert FaceLux(cheek_left=0, cheek_right=0).cheek_difference == 0
    assert FaceLux(cheek_left=0, cheek_right=10).cheek_difference == 1


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("", "no illuminance came"),
        ("bright", "'bright' is no illuminance"),
        ("1200, 1100", "two values came"),
        ("1200, chin=900", "without a point"),
        ("chin=1, chin=2", "two values came for the chin; give one"),
        ("1200,5", "two values came for the whole face; give one with a decimal point"),
        ("cheek_left=1,cheek left=2", "two values came for the left cheek"),
        ("200000", "lux on the whole face is a finite number"),
        ("chin=9999999", "lux on the chin is a finite number"),
    ],
)
def test_what_is_no_illuminance_is_refused(text, said):
    with pytest.raises(TenterError, match=said):
        face_lux_from(text)


def test_a_point_that_is_none_of_the_five_is_named():
    with pytest.raises(UnknownName, match="forehead, cheek_left"):
        face_lux_from("ear=100")
