"""What an unknown name says: what came, and what would do."""

import pytest

from tenter.errors import UnknownName

CLOTHS = [f"D{number:03d}" for number in range(1, 97)]


@pytest.mark.parametrize(
    ("name", "known", "said"),
    [
        ("a5", ["a4"], "no page is called 'a5'; use a4"),
        ("a5", ["a4", "letter", "a3"], "no page is called 'a5'; use a4, letter or a3"),
        ("", ["a4"], "no page was given; use a4"),
        ("a5", [], "no page is called 'a5'; there is none yet"),
        ("d0963", CLOTHS, "no page is called 'd0963'; the nearest of 96 are D096, D093 and D063"),
        ("rose", CLOTHS, "no page is called 'rose'; there are 96, such as D001, D002 and D003"),
    ],
)
def test_an_unknown_name_says_what_would_do(name, known, said):
    assert str(UnknownName("page", name, known)) == said


def test_where_there_is_no_name_it_says_what_to_try():
    said = str(UnknownName("camera", "mine", [], "there is none yet; see tenter camera learn"))
    assert said == "no camera is called 'mine'; there is none yet; see tenter camera learn"
