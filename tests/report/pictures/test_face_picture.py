"""The picture of a measured face: its outlines lie on the regions, one is seen at a time, and no number is on it."""

import io
import json
import re
from dataclasses import asdict
from pathlib import Path

import numpy as np
import pypdfium2
import pytest
from PIL import Image

from tenter.photo.cards import CardChoice, ChartKind
from tenter.photo.face.measure import measure_face
from tenter.photo.files.loading import Photo, load_photo
from tenter.report.pictures.face_drawing import DrawingForm, draw_face_picture
from tenter.report.pictures.face_overlay import face_overlay_svg, part_px
from tenter.report.pictures.face_picture import FacePicture, face_picture
from tenter.report.pictures.shares import WHOLE

PORTRAIT = Path(__file__).parents[2] / "data" / "rendered_portraits" / "p1a.jpg"


@pytest.fixture(scope="module")
def photo():
    return load_photo(PORTRAIT)


@pytest.fixture(scope="module")
def measured(photo):
    return measure_face(photo)


@pytest.fixture(scope="module")
def picture(measured, photo):
    return face_picture(measured, photo, "A rendered face")


@pytest.fixture(scope="module")
def refused(photo):
    painted = photo.rgb.copy()
    painted[200:560, 380:] = 128  # the card is gone
    gone = Photo(painted)
    return face_picture(measure_face(gone), gone)


def test_every_region_that_was_measured_has_its_swatch_and_interval(picture, measured):
    drawn = {region.name: region for region in picture.regions}
    assert len(drawn) == len(measured.regions)
    forehead = drawn["forehead"]
    lab, half = measured.regions["forehead"].lab, measured.regions["forehead"].half_width_90
    assert forehead.values[0].text == f"{lab[0]:.0f} ±\u00a0{half[0]:.1f}"  # a narrow column may break before it
    assert re.fullmatch("#[0-9a-f]{6}", forehead.hex)
    for region in picture.regions:
        assert (region.hex is None) == (not region.values) == (not region.read)
        assert region.read or region.note
        for value in region.values:
            low, middle, high = value.bar
            assert -1e-6 <= low < middle < high <= 1 + 1e-6


def test_the_outlines_lie_where_the_regions_were_read(picture, measured, photo):
    size = np.array([photo.rgb.shape[1], photo.rgb.shape[0]])
    for region, drawn in zip(measured.outlines, [r for r in picture.regions if r.outlines], strict=False):
        for theirs, ours in zip(measured.outlines[region], drawn.outlines, strict=True):
            np.testing.assert_allclose(np.array(ours) * size, theirs, atol=0.02)


def test_a_refused_photograph_says_why_and_what_can_be_said_all_the_same(refused):
    assert refused.verdict.startswith("Not measured")
    assert any(reason.refuses and "card" in reason.text for reason in refused.reasons)
    assert refused.view == (0.0, 0.0, 1.0, 1.0)  # what is wrong may lie anywhere in it
    assert all(region.hex is None for region in refused.regions)
    assert any(line.startswith("Left cheek against right cheek: L* −") for line in refused.differences)
    assert not any("-" in line for line in refused.differences)


def test_without_a_card_nothing_is_said_of_a_colour_by_itself(photo):
    alone = face_picture(measure_face(photo, CardChoice(ChartKind.NONE)), photo)
    assert alone.card == ()
    assert all(not region.values for region in alone.regions)
    assert alone.differences


def test_a_face_that_was_not_found_is_drawn_without_lines():
    empty = Photo(np.full((300, 200, 3), 128, dtype=np.uint8))
    picture = face_picture(measure_face(empty), empty)
    assert all(not region.outlines for region in picture.regions)
    assert draw_face_picture(picture, empty).startswith(b"\x89PNG")


def test_the_drawn_picture_shows_the_photograph_and_the_swatches(picture, photo):
    drawn = Image.open(io.BytesIO(draw_face_picture(picture, photo, DrawingForm.PNG, 100))).convert("RGB")
    colours = np.asarray(drawn).reshape(-1, 3)
    forehead = next(r.hex for r in picture.regions if r.name == "forehead")
    wanted = np.array([int(forehead[i : i + 2], 16) for i in (1, 3, 5)])
    assert (np.abs(colours.astype(int) - wanted).max(axis=1) <= 1).sum() > 300  # the swatch, to the digit
    assert drawn.width > 800


def test_the_pdf_has_one_page_with_the_words_on_it(picture, photo):
    document = pypdfium2.PdfDocument(draw_face_picture(picture, photo, DrawingForm.PDF))
    assert len(document) == 1
    text = " ".join(document[0].get_textpage().get_text_range().split())
    assert "forehead" in text
    assert "Ask a clinician" in text


def test_the_overlay_is_drawn_by_the_pages_own_style(picture):
    svg = face_overlay_svg(picture, WHOLE)
    assert svg.startswith(f'<svg class="overlay" viewBox="0 0 {picture.width} {picture.height}"')
    assert "style=" not in svg
    assert svg.count('<g class="region"') == sum(bool(r.outlines) for r in picture.regions)
    assert "<title>forehead</title>" in svg


def test_over_the_head_and_the_card_alone_one_region_at_most_is_seen_and_no_number_stands_on_the_face(picture):
    left, top, across, down = part_px(picture, picture.view)
    svg = face_overlay_svg(picture)
    assert f'viewBox="{left} {top} {across} {down}"' in svg
    assert across < 0.9 * picture.width
    assert "<text" not in svg
    assert "seen" not in svg
    one = face_overlay_svg(picture, seen=2)
    assert re.findall(r'<g class="region seen" data-region="(\d+)"', one) == ["2"]
    assert one.replace("region seen", "region") == svg


def test_a_picture_comes_back_from_its_plain_values(picture):
    plain = json.loads(json.dumps(asdict(picture)))
    plain["regions"][0] |= {"anchor": [0.5, 0.5], "badge": [0.4, 0.5], "leader": True}  # kept before faces were bare
    again = FacePicture.from_plain(plain)
    assert face_overlay_svg(again) == face_overlay_svg(picture)
    assert [v.text for r in again.regions for v in r.values] == [v.text for r in picture.regions for v in r.values]
    assert again.reasons == picture.reasons


def test_a_title_cannot_break_out_of_the_overlay(measured, photo):
    svg = face_overlay_svg(face_picture(measured, photo, '"><script>'))
    assert "<script>" not in svg
