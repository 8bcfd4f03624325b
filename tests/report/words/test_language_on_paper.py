"""What has a fixed size holds a language of longer words, and one that is read from the right."""

import io
import re
from dataclasses import replace

import numpy as np
import pypdfium2
import pytest
from PIL import Image
from pypdfium2.raw import FPDF_PAGEOBJ_PATH

from tenter.consultation.personal.document import KeptPalette
from tenter.language import written_in
from tenter.report.client_paper.content import client_paper
from tenter.report.handing_over.papers import pdf_of
from tenter.report.phone_page import lock_screen
from tenter.report.phone_page.content import Band, Block, PhoneColours, phone_page
from tenter.report.phone_page.drawing import phone_page_html
from tenter.report.phone_page.lock_screen import lock_screen_png
from tenter.report.printing.forms import SwatchForm
from tenter.report.printing.swatch_sheet import swatch_pdf, swatch_sheets
from tenter.report.printing.swatches import print_swatches
from tenter.report.reading.content import reading_sheet
from tenter.report.studio_sheet.content import studio_sheet
from tenter.report.studio_sheet.pdf import studio_sheet_pdf
from tenter.translations import catalogue
from tests.support.clients.invented_palette import invented_palette
from tests.support.pseudo import TAG, pseudo, write_catalogue

LONGER = 0.4  # as a language of long words grows
MM = 72 / 25.4


@pytest.fixture(scope="module")
def longer(tmp_path_factory):
    return catalogue(TAG, write_catalogue(tmp_path_factory.mktemp("longer"), longer=LONGER))


@pytest.fixture(scope="module")
def from_the_right(tmp_path_factory):
    return catalogue("he", write_catalogue(tmp_path_factory.mktemp("right"), "he"))


def plain(text: str) -> str:
    return re.sub(r"[\s\ufffe\u200b\u00ad\x02]", "", text)


def text_in(page, left: float, top: float, right: float, bottom: float) -> str:
    """Return the letters of a page that lie inside a box, in millimetres from its upper left corner."""
    height = page.get_height()
    ends = (left * MM, height - bottom * MM, right * MM, height - top * MM)
    return plain(page.get_textpage().get_text_bounded(*ends))


@pytest.mark.parametrize("form", SwatchForm)
def test_longer_words_stay_behind_their_swatch_and_in_their_line(longer, form):
    with written_in(longer):
        sheets = swatch_sheets(print_swatches(invented_palette()), "Maren Tolliver", form)
    width, height = sheets.page_mm
    with pypdfium2.PdfDocument(swatch_pdf(sheets)) as document:
        for page, said in zip(document, sheets.pages, strict=True):
            if said.fills:
                assert text_in(page, 6, 11, width - 6, 15.4) == plain(sheets.how)
                assert text_in(page, 6, 15.4, width - 6, 20) == plain(sheets.check)
            assert text_in(page, 6, height - 15.5, width - 6, height - 3) == plain("".join(sheets.notes))
            for told in said.texts:
                box, swatch = told.box, told.swatch
                found = text_in(page, box.left, box.top, box.right, box.bottom)
                assert found == plain(f"{swatch.title}{swatch.name}{swatch.part}{swatch.basis}{swatch.mark}")


def drawn_and_letters(page):
    """Return the swatches of a page and its letters: left, bottom, right and top of each, in points."""
    paths = [each.get_bounds() for each in page.get_objects() if each.type == FPDF_PAGEOBJ_PATH]
    swatches = {box for box in paths if 8 * MM < box[2] - box[0] < 60 * MM and box[3] - box[1] > 4 * MM}
    text = page.get_textpage()
    letters = [text.get_charbox(n) for n in range(text.count_chars()) if text.get_text_range(n, 1).strip()]
    return np.array(sorted(swatches)), np.array(letters)


@pytest.mark.parametrize("words_only", [False, True])
def test_longer_words_run_over_no_swatch_of_the_palette_card(longer, sitting_of, card, words_only):
    palette = invented_palette()
    names = ["terracotta rose", "mauve pink", "geranium", "watermelon"]
    renamed = [replace(one, name=f"bright {names[n % 4]}") for n, one in enumerate(palette.colours)]
    with written_in(longer):
        paper = client_paper(card(words_only=words_only), sitting_of("K5"), replace(palette, colours=tuple(renamed)))
    content, notes = pdf_of(paper)
    assert notes == ()
    with pypdfium2.PdfDocument(content) as document:
        [page] = [page for page in document if pseudo("Your palette", LONGER) in page.get_textpage().get_text_range()]
        swatches, letters = drawn_and_letters(page)
        assert len(swatches) >= len(palette.colours)  # one that is nearly white has a hairline round it too
        apart = (
            (letters[:, None, 0] > swatches[None, :, 2] - 1)
            | (letters[:, None, 2] < swatches[None, :, 0] + 1)
            | (letters[:, None, 1] > swatches[None, :, 3] - 1)
            | (letters[:, None, 3] < swatches[None, :, 1] + 1)
        )
        assert apart.all()


def ink_columns(png: bytes) -> np.ndarray:
    """Return in which columns of a picture of one dark colour there is light ink."""
    return np.flatnonzero((np.asarray(Image.open(io.BytesIO(png)))[:, :, 0] > 0xC0).any(axis=0))


def screen(*names: str) -> PhoneColours:
    bands = [Band(f"c{n}", name, "", "", "", "#202020", True, False) for n, name in enumerate(names)]
    return PhoneColours(Block("strip", "", "", tuple(bands)), (), ())


def test_a_word_that_is_wider_than_its_colour_is_drawn_smaller(longer):
    word = pseudo("Watermelon-terracotta", LONGER)
    columns = ink_columns(lock_screen_png(screen(*[word] * 8), (1000, 2000)))
    assert columns[-1] < 1000 - 8
    starts = columns[np.flatnonzero(np.diff(columns, prepend=-100) > 12)]
    assert len(starts) == 4  # a gap before each colour's words


def test_words_read_from_the_right_stand_at_the_right(from_the_right, monkeypatch):
    monkeypatch.setattr(lock_screen, "_GROUND", "#202020")
    left = ink_columns(lock_screen_png(screen("א"), (1000, 2000)))
    with written_in(from_the_right):
        right = ink_columns(lock_screen_png(screen("א"), (1000, 2000)))
    assert left[-1] < 200
    assert right[0] > 800


def test_a_page_read_from_the_right_says_so(from_the_right, card):
    kept = KeptPalette("Maren", invented_palette(), None)
    with written_in(from_the_right):
        page = phone_page_html(phone_page(card(), kept.palette)).decode()
    assert '<html lang="he" dir="rtl">' in page
    assert "padding-left" not in page
    assert re.search(r"\.asked \{[^}]*direction: ltr", page)  # what is said to be left stays left


def test_the_studios_sheet_names_the_ends_of_an_axis_where_they_are_drawn(from_the_right, sitting_of, kit, card):
    sitting = sitting_of("K5")
    with written_in(from_the_right):
        sheet = studio_sheet(reading_sheet(card(), sitting), kit, invented_palette())
        printed, notes = studio_sheet_pdf(sheet)
    assert notes == ()
    assert b"/Lang(he)" in printed
    with pypdfium2.PdfDocument(printed) as document:
        left_of = dict(lines_of(document[0]))
    for trait in sheet.reading.finding.traits:
        assert left_of[trait.low_end] < left_of[trait.high_end]


def lines_of(page):
    """Yield the texts of a page that stand for themselves, each with where it begins from the left, in points."""
    told = page.get_textpage()
    for rect in range(told.count_rects()):
        left, bottom, right, top = told.get_rect(rect)
        yield told.get_text_bounded(left, bottom, right, top).strip(), left
