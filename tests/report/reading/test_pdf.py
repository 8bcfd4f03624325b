"""The finished file: its text, its pages, its bytes."""

import re
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np
import pypdfium2
import pytest

from tenter import Kit, Method, Sitting
from tenter.report.reading.content import ReadingSheet, reading_sheet
from tenter.report.studio_sheet.content import StudioSheet, studio_sheet
from tenter.report.studio_sheet.pdf import write_studio_sheet
from tenter.report.words.swatches import NOT_SHOWN_TRULY, SET_BY_HAND
from tests.support.clients.invented_palette import invented_palette
from tests.support.clients.many_categories import many_categories
from tests.support.tag_tree import smallest_letter, tags

CLIENTS = ("K1", "K2", "K3", "K4", "K5")
SHEETS = [*((c, "four-by-three") for c in CLIENTS), ("K2", "four-seasons"), ("K3", "four-seasons")]
ODD_NAMES = [
    "Мария Соколова",
    "مريم الحداد",
    "#let x = 1; $x^2$ \"quoted\" 'single'",
    "*bold* _it_ `raw` <label> @ref \\ // /* ~ =",
    "Anna " * 16,
    "Ж" * 80,
]


def squeezed(text: str) -> str:
    """Return a text without spaces, line ends hyphens and the invisible breaks inside long words, in small letters."""
    return re.sub(r"[\s\u200b\u0002\ufffe-]", "", text).casefold()


def read(path: Path) -> tuple[list[str], dict[str, str], bool]:
    with pypdfium2.PdfDocument(path) as document:
        pages = []
        for page in document:
            text_page = page.get_textpage()
            pages.append(text_page.get_text_range())
            text_page.close()
            page.close()
        return pages, document.get_metadata_dict(), document.is_tagged()


def studio(sheet: ReadingSheet, kit: Kit | None = None) -> StudioSheet:
    """Return the studio's sheet of a reading, with an invented palette."""
    return studio_sheet(sheet, kit or Kit.demo(), invented_palette())


def write(sheet: ReadingSheet, path: Path) -> tuple[str, ...]:
    return write_studio_sheet(studio(sheet), path)


def written(sheet: ReadingSheet, folder: Path, name: str = "sheet.pdf") -> str:
    """Write a sheet that can be drawn in full, and return its squeezed text."""
    assert write(sheet, folder / name) == ()
    return squeezed(" ".join(read(folder / name)[0]))


@pytest.mark.parametrize(("client", "method"), SHEETS)
def test_the_file_says_what_the_sheet_says(sheet_of, tmp_path, client, method, names):
    sheet = sheet_of(client, method)
    text, made = written(sheet, tmp_path), studio(sheet)
    wanted = [
        *(
            names[client],
            sheet.client.studio,
            sheet.client.consultant,
            sheet.date,
            sheet.finding.headline,
            sheet.finding.odds,
        ),
        *(s.text for s in (sheet.finding.lead, *sheet.finding.statements, *sheet.finding.neighbours)),
        *(f"{t.axis}: {t.text}" for t in sheet.finding.traits),
        *(c.name for c in sheet.finding.categories),
        *(r.text for r in (*sheet.why.reasons, *sheet.why.against)),
        *(part for c in sheet.why.contradictions for part in (c.title, c.text, *c.causes, c.repeat)),
        *(part for a in sheet.why.by_axis for part in (a.axis, a.reads, a.answers, a.worth)),
        *(sheet.why.by_axis_note, sheet.why.settling.text, *sheet.wearing.likings, *sheet.notes),
        *(part for r in made.palette for c in r.colours for part in (c.shade.name, c.shade.title, c.numbers, c.known)),
        *(part for g in made.held.groups for h in g.cloths for part in (h.swatch.name, h.answer, h.colour)),
        *(s.text for s in made.held.statements),
        *(part for c in made.cautions for part in (c.title, c.text)),
        *(c.title for c in sheet.cautions),
        *(part for m in sheet.marks for part in (m.word, m.text)),
    ]
    assert [w for w in wanted if squeezed(w) not in text] == []


def test_the_file_is_a_tagged_titled_a4_document_of_a_few_pages(sheet_of, tmp_path, names):
    for client in CLIENTS:
        write(sheet_of(client), tmp_path / "sheet.pdf")
        pages, about, tagged = read(tmp_path / "sheet.pdf")
        assert 3 <= len(pages) <= 4
        assert about["Title"] == f"Studio’s sheet for {names[client]}"
        assert tagged
    data = (tmp_path / "sheet.pdf").read_bytes()
    assert b"/Lang" in data
    with pypdfium2.PdfDocument(data) as document:
        assert document.get_page_size(0) == pytest.approx((595.28, 841.89), abs=0.1)


@pytest.mark.parametrize("count", [4, 16, 24])
@pytest.mark.parametrize("client", ["K3", "K5"])  # an open verdict, of which most is said, and a firm one
def test_the_finding_keeps_to_the_first_page_however_many_categories_a_method_has(
    kit, demo_judgements, card, tmp_path, count, client
):
    method = Method.parse(many_categories(count))
    assert len(method.categories) == count
    sheet = reading_sheet(card(), Sitting(kit, method, seed=7).record_all(demo_judgements[client]))
    write(sheet, tmp_path / "sheet.pdf")
    first = squeezed(read(tmp_path / "sheet.pdf")[0][0])
    finding = sheet.finding
    said = [finding.headline, *(s.text for s in (finding.lead, *finding.statements, *finding.neighbours))]
    assert [words for words in [*said, *(line.name for line in finding.drawn)] if squeezed(words) not in first] == []
    assert sum(line.probability for line in finding.drawn) == pytest.approx(1)
    assert len(finding.categories) == count


@pytest.mark.parametrize("client", CLIENTS)
def test_the_file_goes_from_the_finding_by_the_evidence_to_the_palette_and_the_cloths(sheet_of, tmp_path, client):
    sheet = sheet_of(client)
    text, made = written(sheet, tmp_path), studio(sheet)
    told = [sheet.finding.lead.text, sheet.why.by_axis_note, sheet.why.settling.text, made.palette_note]
    told += [made.labels.held, made.held.statements[0].text, sheet.face.statements[0].text, sheet.notes[0]]
    places = [text.index(squeezed(part)) for part in told]
    assert places == sorted(places)


def test_the_last_page_tells_how_each_thing_is_known(sheet_of, tmp_path):
    write(sheet_of("K5"), tmp_path / "sheet.pdf")
    last = squeezed(read(tmp_path / "sheet.pdf")[0][-1])
    assert all(squeezed(m.text) in last for m in sheet_of("K5").marks)


def test_the_same_sheet_gives_the_same_bytes(sheet_of, tmp_path):
    for name in ("one.pdf", "two.pdf"):
        write(sheet_of("K5"), tmp_path / name)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_the_files_date_is_the_sheets(sheet_of, tmp_path):
    write(sheet_of("K5"), tmp_path / "sheet.pdf")
    assert read(tmp_path / "sheet.pdf")[1]["CreationDate"].startswith("D:20260314")


@pytest.mark.parametrize("name", ODD_NAMES, ids=lambda n: n[:8])
def test_an_odd_name_is_data_and_never_markup(sheet_of, tmp_path, name):
    sheet = sheet_of("K3")
    client = replace(sheet.client, name=name, studio=name, consultant=name, remarks=name)
    written(replace(sheet, client=client, title=f"Studio’s sheet for {name}"), tmp_path)
    pages, about, _ = read(tmp_path / "sheet.pdf")
    if "م" in name:  # a right-to-left line comes back in visual order
        assert sorted(squeezed(name)) == sorted(c for c in squeezed(pages[0].splitlines()[1]))
    else:
        assert squeezed(name) in squeezed(pages[0])
    assert squeezed(about["Title"]) == squeezed(f"Studio’s sheet for {name}")


def test_a_name_in_a_script_without_a_font_is_drawn_or_told(sheet_of, tmp_path):
    sheet = sheet_of("K3")
    notes = write(replace(sheet, client=replace(sheet.client, name="山田花子")), tmp_path / "sheet.pdf")
    text = squeezed(" ".join(read(tmp_path / "sheet.pdf")[0]))
    assert "山田花子" in text or "no installed font can draw" in notes[0]
    assert squeezed(sheet.finding.headline) in text


def test_odd_names_of_cloths_are_data_too(sitting_with, kit, tmp_path, card):
    odd = {"D016": '$x$ #y "z" *b*', "D018": "X" * 80, "D082": "Роза <r> @q"}
    other = Kit(tuple(replace(d, name=odd.get(d.id, d.name)) for d in kit.drapes), kit.colours)
    text = written(reading_sheet(card(), sitting_with(other_kit=other)), tmp_path)
    assert all(squeezed(name) in text for name in odd.values())


def test_marks_of_gamut_and_of_a_hand_are_printed(sheet_of, tmp_path):
    text = written(sheet_of("K5"), tmp_path)
    assert squeezed(NOT_SHOWN_TRULY) in text
    assert squeezed(SET_BY_HAND) in text


def test_a_face_is_printed_with_its_intervals_and_contrast(sitting_with, tmp_path, card, face):
    text = written(reading_sheet(card(minor=True, words_only=True), sitting_with(face(hair=12.0))), tmp_path)
    for said in ("left cheek", "60 to 64", "Contrast: high", "guardian"):
        assert squeezed(said) in text


def test_swatches_are_drawn_in_their_own_colour(sheet_of, tmp_path):
    """The palette's colours, read back from the drawn pages, are those of the client's paper."""
    sheet = sheet_of("K5")
    write(sheet, tmp_path / "sheet.pdf")
    found: set[int] = set()
    with pypdfium2.PdfDocument(tmp_path / "sheet.pdf") as document:
        for page in document:
            image = page.render(scale=1.5).to_numpy().reshape(-1, 3).astype(int)
            found |= set(np.unique(image @ [1, 256, 65536]).tolist())  # blue, green, red
            page.close()
    assert {int(c.shade.hex[1:], 16) for row in studio(sheet).palette for c in row.colours} <= found


@pytest.mark.parametrize("client", ["K1", "K3"])
def test_no_letter_is_smaller_than_eight_points(sheet_of, sitting_with, card, face, tmp_path, client):
    sheet = sheet_of(client) if client == "K1" else reading_sheet(card(words_only=True), sitting_with(face(hair=12.0)))
    write(sheet, tmp_path / "sheet.pdf")
    assert smallest_letter(tmp_path / "sheet.pdf") >= 8 - 1e-6


def test_headings_go_down_one_step_at_a_time_and_the_first_is_the_result(sheet_of, tmp_path):
    write(sheet_of("K5"), tmp_path / "sheet.pdf")
    levels = [int(t.kind[1]) for page in tags(tmp_path / "sheet.pdf") for t in page if re.fullmatch(r"H\d", t.kind)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))


def test_a_sheet_without_a_consultant_does_not_say_by_whom(sheet_of, tmp_path):
    sheet = sheet_of("K1")
    text = written(replace(sheet, client=replace(sheet.client, consultant="")), tmp_path)
    assert squeezed(sheet.labels.read_by) not in text
    assert squeezed(f"{sheet.labels.read_by} {sheet.client.consultant}") in written(sheet, tmp_path)
