"""The sheets that swatches are cut from, measured in the drawn page: sizes, colours, both sides, words."""

import re

import numpy as np
import pypdfium2
import pytest

from tenter.colorimetry.measurement import Colours
from tenter.consultation.colours.colours import PersonalPalette
from tenter.errors import TenterError
from tenter.report.drawing.paper_size import PaperSize
from tenter.report.printing.forms import BLEED_MM, CARD_MM, CUTS, CutEdge, SwatchForm
from tenter.report.printing.swatch_sheet import RULER_MM, swatch_pdf, swatch_sheets
from tenter.report.printing.swatches import print_swatches
from tests.support.clients.odd_palette import odd_palette
from tests.support.tag_tree import tags

PALETTE = odd_palette()
SWATCHES = print_swatches(PALETTE)
DOTS_PER_MM = 300 / 25.4
FORMS = [(form, paper) for form in SwatchForm for paper in PaperSize]


@pytest.fixture(scope="module")
def drawn():
    """Give the sheets of a form and its pages as pixels and as text; drawn once."""
    kept = {}

    def pages(form, paper):
        if (form, paper) not in kept:
            sheets = swatch_sheets(SWATCHES, "Anna Beispiel", form, paper)
            with pypdfium2.PdfDocument(swatch_pdf(sheets)) as document:
                texts = [page.get_textpage().get_text_range() for page in document]
                pixels = [page.render(scale=300 / 72).to_numpy()[..., 2::-1] for page in document]
                sizes = [np.array(page.get_size()) / 72 * 25.4 for page in document]
            kept[form, paper] = sheets, pixels, texts, sizes
        return kept[form, paper]

    return pages


def run_through(pixels, colour, x, y):
    """How many pixels around x, y along both axes have a colour, exactly: left, right, up, down ends in pixels."""
    ends = []
    for along, at in ((pixels[y], x), (pixels[:, x], y)):
        line = (along == colour).all(axis=-1)
        assert line[at]
        before, after = np.flatnonzero(~line[:at]), np.flatnonzero(~line[at:])
        ends.append((before[-1] + 1 if len(before) else 0, at + after[0] if len(after) else len(line)))
    return ends


@pytest.mark.parametrize(("form", "paper"), FORMS)
def test_every_swatch_has_its_size_within_a_fifth_of_a_millimetre_and_its_exact_srgb(drawn, form, paper):
    sheets, pixels, _, sizes = drawn(form, paper)
    fills = 0
    for page, drawing, size in zip(sheets.pages, pixels, sizes, strict=True):
        assert size == pytest.approx(paper.size_mm, abs=0.1)
        for fill in page.fills:
            box, colour = fill.box, list(bytes.fromhex(fill.hex[1:]))
            x, y = (round(v * DOTS_PER_MM) for v in (box.left + box.width / 2, box.top + box.height / 2))
            across, down = run_through(drawing, colour, x, y)
            found = np.array([*across, *down]) / DOTS_PER_MM
            assert found == pytest.approx([box.left, box.right, box.top, box.bottom], abs=0.15)
            assert np.diff(found)[[0, 2]] == pytest.approx([box.width, box.height], abs=0.2)
            fills += 1
    assert fills == len(SWATCHES)


def test_the_sent_colours_are_those_of_a_screen():
    rows = (*PALETTE.colours, *PALETTE.borrowed)  # a flat grey is no silver
    shown, inside = Colours([row.lab for row in rows], PALETTE.conditions).on_screen()
    assert [s.hex for s in SWATCHES] == shown
    assert [s.mark == "" for s in SWATCHES] == inside
    assert not all(inside)


@pytest.mark.parametrize("form", SwatchForm)
def test_each_swatch_runs_over_one_edge_of_what_is_cut_and_keeps_within_the_others(form):
    cut = CUTS[form]
    for slot in cut.slots:
        over = {
            CutEdge.TOP: -slot.printed.top,
            CutEdge.BOTTOM: slot.printed.bottom - cut.height,
            CutEdge.RIGHT: slot.printed.right - cut.width,
        }
        assert over.pop(slot.edge) == pytest.approx(BLEED_MM)
        assert all(beyond < 0 for beyond in over.values())
        assert slot.printed.left > 0
    if cut.hole:
        x, y, across = cut.hole
        assert across / 2 < x < cut.width - across / 2
        assert all(y + across / 2 < slot.box.top for slot in cut.slots)


def test_the_wallets_pieces_are_bank_cards():
    assert (CUTS[SwatchForm.WALLET].width, CUTS[SwatchForm.WALLET].height) == CARD_MM == (85.6, 53.98)


@pytest.mark.parametrize(("form", "paper"), FORMS)
def test_no_swatch_touches_another_or_the_margin_of_the_page(form, paper):
    for page in swatch_sheets(SWATCHES, "A", form, paper).pages:
        boxes = [fill.box for fill in page.fills]
        for k, one in enumerate(boxes):
            assert one.left > 5
            assert one.right < paper.size_mm[0] - 5
            assert one.bottom < paper.size_mm[1] - 12
            for other in boxes[k + 1 :]:
                apart = (one.right < other.left, other.right < one.left, one.bottom < other.top, other.bottom < one.top)
                assert any(apart)
        for x1, y1, x2, y2 in page.lines:  # a cut mark lies on no swatch
            middle = ((x1 + x2) / 2, (y1 + y2) / 2)
            assert not any(b.left <= middle[0] <= b.right and b.top <= middle[1] <= b.bottom for b in boxes)


@pytest.mark.parametrize("form", SwatchForm)
def test_the_words_lie_behind_their_swatch_when_the_sheet_is_turned_on_its_long_edge(form):
    sheets = swatch_sheets(SWATCHES, "A", form)
    width = sheets.page_mm[0]
    fronts, backs = sheets.pages[::2], sheets.pages[1::2]
    told = []
    for front, back in zip(fronts, backs, strict=True):
        for fill, text in zip(front.fills, back.texts, strict=True):
            through = text.box.mirrored(width)
            assert fill.box.left - 1e-9 <= through.left <= through.right <= fill.box.right + 1e-9
            assert fill.box.top - 1e-9 <= through.top <= through.bottom <= fill.box.bottom + 1e-9
            assert fill.hex == text.swatch.hex
            told.append(text.swatch)
    assert tuple(told) == SWATCHES


@pytest.mark.parametrize("form", SwatchForm)
def test_names_parts_and_marks_are_printed_in_full(drawn, form):
    _, _, texts, _ = drawn(form, PaperSize.A4)
    backs = re.sub(r"[\s\ufffe\u200b\x02]", "", "".join(texts[1::2]))
    for words in (f"{s.name}{s.part}{s.basis}{s.mark}" for s in SWATCHES if s.name.isascii()):
        assert re.sub(r"\s", "", words) in backs
    assert backs.count("≠") - len(texts) // 2 == sum(s.mark != "" for s in SWATCHES) > 0  # and once at each foot
    assert "your red" in " ".join(" ".join(texts).split())
    assert all("100 %" in text and "50 mm" in text for text in texts[::2])
    assert all("Trust the cloth" in text for text in texts)


def test_each_swatch_is_told_to_a_reader_who_hears_the_sheet(tmp_path):
    sheets = swatch_sheets(SWATCHES, "Anna Beispiel", SwatchForm.WALLET)
    file = tmp_path / "sheet.pdf"
    file.write_bytes(swatch_pdf(sheets))
    told = [[tag.alt for tag in page if tag.kind == "Figure"] for page in tags(file)]
    assert told == [[fill.alt for fill in page.fills] for page in sheets.pages]
    by_name = {swatch.name: swatch.spoken for swatch in SWATCHES}
    assert by_name["coral"] == "Swatch: coral, your red, near your face"
    assert "≠" not in "".join(by_name.values())
    assert any(words.endswith("print differs") for words in by_name.values())


def test_the_ruler_is_as_long_as_it_says(drawn):
    _, pixels, _, _ = drawn(SwatchForm.GRID, PaperSize.A4)
    row = pixels[0][round(18 * DOTS_PER_MM), : round((8 + RULER_MM + 2) * DOTS_PER_MM), 0] < 128
    starts = np.flatnonzero(row)
    assert (starts[-1] - starts[0]) / DOTS_PER_MM == pytest.approx(RULER_MM, abs=0.3)


def test_the_same_sheets_give_the_same_bytes():
    sheets = swatch_sheets(SWATCHES, "A", SwatchForm.WALLET)
    assert swatch_pdf(sheets) == swatch_pdf(sheets)


def test_nothing_to_print_is_refused():
    with pytest.raises(TenterError, match="finish the sitting"):
        print_swatches(PersonalPalette((), (), (), (), (), (), {}))
    with pytest.raises(TenterError, match="no swatches"):
        swatch_sheets((), "A", SwatchForm.RING)


def test_odd_signs_in_names_are_data_and_never_markup():
    palette = odd_palette(("#let x = 1; $x^2$", "null\0 \ud800", "*b* _i_ `r` <l> @r \\"))
    with pypdfium2.PdfDocument(
        swatch_pdf(swatch_sheets(print_swatches(palette), "#x \0", SwatchForm.RING))
    ) as document:
        text = "".join("".join(page.get_textpage().get_text_range() for page in document).split())
    assert "#letx=1;$x^2$" in text
    assert "*b*_i_`r`<l>@r\\" in text
