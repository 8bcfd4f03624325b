"""A suspected edge of light is drawn where it is, by a dashed line and by words that hide no patch of the card."""

import json
import re
from dataclasses import asdict

import numpy as np
import pypdfium2
import pytest

from tenter.photo.card.finding import ChartFinding
from tenter.photo.files.loading import Photo
from tenter.photo.reasons import Code, Reason
from tenter.report.pictures.card_edge import DrawnEdge, drawn_edges, svg_edge
from tenter.report.pictures.face_drawing import DrawingForm, draw_face_picture
from tenter.report.pictures.face_picture import FacePicture
from tenter.report.pictures.shares import WHOLE

SIZE = np.array([400, 500])
CARD = np.array([[200, 100], [390, 100], [390, 220], [200, 220]])
LINE = np.array([[200, 160], [390, 170]])
BLOCK = np.array([[230, 130], [260, 130], [260, 160], [230, 160]])


def drawn(edge=LINE, code=Code.CHART_COVERED, down=0):
    moved = np.array([0, down])
    chart = ChartFinding(CARD + moved, suspected_edge_px=None if edge is None else edge + moved)
    return drawn_edges(chart, [Reason(Code.UNEVEN_LIGHT, ""), Reason(code, "")], SIZE)


def words(svg):
    """Return where the words are and how large: x, y, size."""
    return [float(n) for n in re.search(r'<text class="edge" x="(.*?)" y="(.*?)" font-size="(.*?)"', svg).groups()]


@pytest.mark.parametrize("edge", [LINE, BLOCK], ids=["a line", "a block"])
def test_the_line_is_where_the_light_changes(edge):
    [found] = drawn(edge)
    np.testing.assert_allclose(np.array(found.points) * SIZE, edge, atol=0.01)
    svg = svg_edge(found, *SIZE, WHOLE)
    shape = "polyline" if len(edge) == 2 else "polygon"
    assert f'<{shape} class="edge" points="{edge[0][0]:.1f},{edge[0][1]:.1f} ' in svg


@pytest.mark.parametrize(
    ("code", "label"),
    [
        (Code.CHART_COVERED, "suspected shadow"),
        (Code.CARD_CALLED_EVEN, "called evenly lit"),
    ],
)
def test_words_say_what_it_is(code, label):
    [found] = drawn(code=code)
    assert f">{label}</text>" in svg_edge(found, *SIZE, WHOLE)


def test_without_an_edge_or_a_reason_nothing_is_drawn():
    assert drawn(edge=None) == ()
    assert drawn(code=Code.CHART_CUT) == ()


def test_a_frame_that_only_shines_is_not_drawn():
    assert drawn(code=Code.CARD_SHINES) == ()


@pytest.mark.parametrize(("down", "above"), [(0, False), (270, True)], ids=["room below", "at the bottom"])
@pytest.mark.parametrize("view", [WHOLE, (0.4, 0.0, 1.0, 1.0)], ids=["all", "a part"])
def test_the_words_are_beside_the_card_and_in_view(down, above, view):
    [found] = drawn(down=down)
    x, y, size = words(svg_edge(found, *SIZE, view))
    half = 0.3 * size * len(found.label)
    assert view[0] * 400 <= x - half + 3
    assert x + half - 3 <= view[2] * 400
    top, bottom = CARD[:, 1].min() + down, CARD[:, 1].max() + down
    assert (y + size / 2 <= top) if above else (y - size / 2 >= bottom)
    assert size / 2 < y < 500 - size / 2


def test_an_edge_is_the_same_after_it_was_kept():
    [found] = drawn(BLOCK)
    assert DrawnEdge.from_plain(json.loads(json.dumps(asdict(found)))).points == found.points


def test_a_picture_on_paper_has_the_edge_and_its_words():
    plain = dict.fromkeys(("regions", "reasons", "facts", "differences", "unread"), ())
    said = {"title": "", "verdict": "Not measured", "basis": "", "width": 400, "height": 500, "view": WHOLE, "card": ()}
    bare = FacePicture.from_plain(plain | said)
    photo = Photo(np.full((500, 400, 3), 128, dtype=np.uint8))
    for code, edge in ((Code.CHART_COVERED, LINE), (Code.CARD_CALLED_EVEN, BLOCK)):
        kept = json.loads(json.dumps(plain | said | {"edges": [asdict(found) for found in drawn(edge, code)]}))
        picture = FacePicture.from_plain(kept)
        text, nothing = (
            pypdfium2.PdfDocument(draw_face_picture(drawing, photo, DrawingForm.PDF))[0].get_textpage().get_text_range()
            for drawing in (picture, bare)
        )
        assert picture.edges[0].label in text
        assert picture.edges[0].label not in nothing
