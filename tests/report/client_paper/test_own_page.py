"""The studio's own page of the client's paper: as written, nothing read as markup, none where nothing is written."""

import ctypes
import dataclasses
import io

import numpy as np
import pypdfium2
import pypdfium2.raw as pdfium
import pytest
from PIL import Image

from tenter.report.client_paper.own_page import own_page
from tenter.report.client_paper.pdf import write_client_paper
from tenter.report.own_words.studio_picture import studio_picture
from tenter.report.own_words.studio_words import NO_WORDS, StudioWords, TextOf

OF = [("soft autumn", "autumn")]
MARKUP = "#let x = 1 *bold* _it_ $x$ <b> &amp; \\ @ref = head - `raw`"
WORDS = StudioWords(
    letterhead=("Studio Linde", "12 Mill Lane"),
    signature="Anna Linde",
    letter=f"Dear Mia,\nit was a joy.\n\n{MARKUP}",
    texts=(TextOf("autumn", "Warm and rich."), TextOf("soft autumn", "The quiet ones.")),
    make_up_texts=(TextOf("", "Less than you think."),),
    version="7, letter 2",
)


@pytest.fixture(scope="module")
def logo():
    file = io.BytesIO()
    Image.new("RGB", (120, 80), (20, 140, 90)).save(file, "PNG")
    return studio_picture(file.getvalue())


def pages_of(path):
    with pypdfium2.PdfDocument(path) as document:
        return [page.get_textpage().get_text_range() for page in document]


def plain(text):
    return " ".join(text.split())


def test_nothing_written_is_no_page():
    assert own_page(NO_WORDS, OF) is None
    assert own_page(StudioWords(texts=(TextOf("winter", "Cold."),)), OF) is None


def test_a_page_has_the_letter_the_texts_of_the_result_and_the_version():
    page = own_page(WORDS, OF)
    assert page.letterhead == ("Studio Linde", "12 Mill Lane")
    assert page.letter == (("Dear Mia,", "it was a joy."), (MARKUP,))
    assert [(one.title, one.paragraphs) for one in page.passages] == [
        ("Soft autumn", (("Warm and rich.",), ("The quiet ones.",))),
        ("Make-up", (("Less than you think.",),)),
    ]
    assert page.version == "Words of the studio: version 7, letter 2"


def test_of_a_client_between_two_both_are_said_and_the_advice_once():
    between = own_page(WORDS, [*OF, ("warm autumn", "autumn")])
    assert [one.title for one in between.passages] == ["Soft autumn", "Warm autumn", "Make-up"]
    assert between.passages[2].paragraphs == (("Less than you think.",),)


def test_a_picture_is_printed_with_words_for_who_hears_the_page(logo):
    page = own_page(dataclasses.replace(WORDS, logo=logo, signed=logo), OF)
    assert (page.logo.words, page.signed.words) == ("Studio Linde", "Anna Linde")
    assert page.logo.address.startswith("data:image/png;base64,")


def test_the_pdf_prints_every_sign_as_it_is_and_keeps_its_tags(paper_of, logo, tmp_path):
    paper = paper_of("K5")
    path = tmp_path / "paper.pdf"
    own = own_page(dataclasses.replace(WORDS, logo=logo), OF)
    assert write_client_paper(dataclasses.replace(paper, own=own), path) == ()
    with_words = pages_of(path)
    assert plain(MARKUP) in plain(with_words[1])
    assert [
        line in plain(with_words[1])
        for line in ("12 Mill Lane", "The quiet ones.", "Anna Linde", "version 7, letter 2")
    ] == [True] * 4
    assert write_client_paper(paper, path) == ()
    assert len(pages_of(path)) == len(with_words) - 1
    with pypdfium2.PdfDocument(path) as document:
        assert document.is_tagged()


def test_the_logo_is_drawn_in_its_colour(paper_of, logo, tmp_path):
    path = tmp_path / "paper.pdf"
    own = own_page(StudioWords(logo=logo, version="1"), OF)
    write_client_paper(dataclasses.replace(paper_of("K5"), own=own), path)
    with pypdfium2.PdfDocument(path) as document:
        seen = document[1].render(scale=1, rev_byteorder=True).to_numpy()[..., :3].astype(int)
    assert (np.abs(seen - (20, 140, 90)).max(axis=-1) <= 3).sum() > 2_000


@pytest.mark.parametrize(
    ("language", "letter"), [("ar", "شكرًا جزيلًا يا ميا"), ("zh-Hant", "色彩"), ("el", "Ευχαριστώ πολύ")]
)
def test_a_letter_in_another_script_is_tagged_with_its_language(paper_of, tmp_path, language, letter):
    path = tmp_path / "paper.pdf"
    own = own_page(StudioWords(letter=letter, language=language), OF)
    write_client_paper(dataclasses.replace(paper_of("K5"), own=own), path)
    assert language.partition("-")[0] in languages_of(path)


def languages_of(path):
    """Return the languages that the tags of the second page name."""
    with pypdfium2.PdfDocument(path) as document:
        tree = pdfium.FPDF_StructTree_GetForPage(document[1])
        left = [
            pdfium.FPDF_StructTree_GetChildAtIndex(tree, i) for i in range(pdfium.FPDF_StructTree_CountChildren(tree))
        ]
        found = set()
        while left:
            element = left.pop()
            if not element:
                continue
            size = pdfium.FPDF_StructElement_GetLang(element, None, 0)
            buffer = ctypes.create_string_buffer(max(size, 2))
            pdfium.FPDF_StructElement_GetLang(element, buffer, size)
            found.add(buffer.raw.decode("utf-16-le").rstrip("\0"))
            count = pdfium.FPDF_StructElement_CountChildren(element)
            left += [pdfium.FPDF_StructElement_GetChildAtIndex(element, i) for i in range(count)]
        return found
