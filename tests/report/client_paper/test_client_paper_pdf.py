"""The client's paper as a file: what it says, its pages, its tags, its letters."""

import re
from dataclasses import asdict, replace
from itertools import pairwise

import pypdfium2
import pytest

from tenter import Method, Sitting
from tenter.consultation.colours.colours import Part
from tenter.report.client_paper.content import client_paper
from tenter.report.client_paper.pdf import write_client_paper
from tenter.report.drawing import pdf
from tenter.report.drawing.paper_size import PaperSize
from tests.report.reading.test_content import texts
from tests.report.reading.test_pdf import ODD_NAMES, read, squeezed
from tests.support.clients.invented_palette import colour, invented_palette
from tests.support.clients.many_categories import many_categories
from tests.support.tag_tree import smallest_letter, tags

CLIENTS = ("K1", "K2", "K3", "K4", "K5")
A4, LETTER = (595.28, 841.89), (612.0, 792.0)
NOT_DRAWN = {"client", "title", "signs", "labels", "alike", "pairing"}  # tested apart, or drawn by their shape


def pages_of(paper, folder, page=PaperSize.A4):
    assert write_client_paper(paper, folder / "paper.pdf", page) == ()
    return [squeezed(p) for p in read(folder / "paper.pdf")[0]]


@pytest.mark.parametrize("client", CLIENTS)
@pytest.mark.parametrize("page", PaperSize)
def test_the_file_says_what_the_paper_says(paper_of, tmp_path, client, page):
    paper = paper_of(client)
    text = "".join(pages_of(paper, tmp_path, page))
    data = {name: value for name, value in asdict(paper).items() if name not in NOT_DRAWN | {"cover"}}
    drawn_by_shape = {s.words for s in (*paper.near, *paper.neutrals, *paper.whites, *paper.metals, *paper.borrowed)}
    drawn_by_shape |= {s.words for row in (*paper.rails, *paper.accents) for s in row.shades}
    keys = {c.key for c in paper.cautions} | {str(s.sign) for s in paper.signs}
    families = {str(s.family) for row in paper.rails for s in row.shades} | {"white", "grey", "dark", "metal", "brown"}
    wanted = [t for t in texts(data) if not t.startswith("#") and t not in drawn_by_shape | keys | families]
    wanted += [k.text for k in paper.signs]
    assert [w for w in wanted if squeezed(w) not in text] == []


@pytest.mark.parametrize(("page", "size"), [(PaperSize.A4, A4), (PaperSize.LETTER, LETTER)])
@pytest.mark.parametrize("words_only", [False, True])
def test_the_pages_are_few_and_of_the_size_asked_for(paper_of, tmp_path, page, size, words_only):
    paper = paper_of("K4", words_only=words_only)
    pages = pages_of(paper, tmp_path, page)
    assert len(pages) == (5 if page is PaperSize.A4 and not words_only else 6)
    with pypdfium2.PdfDocument(tmp_path / "paper.pdf") as document:
        assert {tuple(round(v, 1) for v in document.get_page_size(i)) for i in range(len(pages))} == {
            tuple(round(v, 1) for v in size)
        }


@pytest.mark.parametrize("page", PaperSize)
@pytest.mark.parametrize("words_only", [False, True])
def test_the_palette_is_on_one_page(paper_of, tmp_path, page, words_only):
    paper = paper_of("K1", words_only=words_only)
    pages = pages_of(paper, tmp_path, page)
    [card] = [p for p in pages if squeezed(paper.labels.card) in p and squeezed(paper.labels.near) in p]
    names = [s.name for s in (*paper.near, *paper.neutrals, *paper.whites)]
    names += [s.name for row in paper.accents for s in row.shades]
    assert [n for n in names if squeezed(n) not in card] == []


def test_a_palette_with_more_colours_stays_on_one_page(card, sitting_of, tmp_path):
    """A consultant adds six."""
    palette = invented_palette()
    more = tuple(colour(f"colour {i}", (30 + 8 * i, 20, 40 * i), Part.ACCENT, chosen=True) for i in range(6))
    paper = client_paper(card(), sitting_of("K1"), replace(palette, colours=(*palette.colours, *more)))
    [page] = [p for p in pages_of(paper, tmp_path) if squeezed(paper.labels.near) in p]
    assert "colour5" in page
    assert squeezed(palette.of_part(Part.NEAR_FACE)[0].name) in page


def test_the_file_is_tagged_titled_and_in_a_language(paper_of, tmp_path, names):
    pages_of(paper_of("K1"), tmp_path)
    _, about, tagged = read(tmp_path / "paper.pdf")
    assert about["Title"] == f"Your colours: {names['K1']}"
    assert about["CreationDate"].startswith("D:20260314")
    assert tagged
    assert re.search(rb"/Lang ?\(en\)", (tmp_path / "paper.pdf").read_bytes())


@pytest.mark.parametrize("client", ["K1", "K4"])
def test_headings_go_down_one_step_at_a_time_and_the_first_is_the_title(paper_of, tmp_path, client):
    pages_of(paper_of(client, words_only=client == "K4"), tmp_path)
    levels = [int(t.kind[1]) for page in tags(tmp_path / "paper.pdf") for t in page if re.fullmatch(r"H\d", t.kind)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(after <= before + 1 for before, after in pairwise(levels))
    assert len(levels) > 8


def test_every_swatch_and_every_sign_is_spoken(paper_of, tmp_path):
    paper = paper_of("K1")
    pages_of(paper, tmp_path)
    pages = tags(tmp_path / "paper.pdf")
    figures = [t for page in pages for t in page if t.kind == "Figure"]
    assert figures
    assert all(t.alt for t in figures)
    assert [t.alt for t in pages[0] if t.kind == "Figure"] == [f"{s.name}, {s.words}" for s in paper.cover]
    card = [t.alt for t in pages[3] if t.kind == "Figure"]
    [near] = [s for s in paper.near if s.title == "Your red"]
    for shade in (near, *paper.whites):
        assert shade.words in card
    meant = {key.sign: key.text for key in paper.signs}
    shown = [*paper.near, *paper.neutrals, *paper.whites, *(s for r in paper.accents for s in r.shades)]
    for sign, words in meant.items():
        assert card.count(words) == sum(s.sign is sign for s in shown)


def test_a_colour_that_cannot_be_shown_truly_is_said_to_be_stronger(card, sitting_of, tmp_path):
    vivid = colour("cobalt", (36, 80, 285), Part.ACCENT)
    paper = client_paper(card(), sitting_of("K1"), invented_palette(colours=(*invented_palette().colours, vivid)))
    assert not next(s for row in paper.accents for s in row.shades if s.name == "Cobalt").shown_truly
    pages_of(paper, tmp_path)
    spoken = [t.alt for page in tags(tmp_path / "paper.pdf") for t in page]
    assert any(alt.endswith(", stronger in cloth than here") for alt in spoken)


@pytest.mark.parametrize("words_only", [False, True])
def test_no_letter_is_smaller_than_eight_points(paper_of, tmp_path, words_only):
    pages_of(paper_of("K4", words_only=words_only, minor=True), tmp_path)
    assert smallest_letter(tmp_path / "paper.pdf") >= 8 - 1e-6


@pytest.mark.parametrize("name", [*ODD_NAMES, "Alexandrina-Wilhelmina von der Osterstedt"], ids=lambda n: n[:8])
def test_an_odd_or_long_name_is_data_and_stays_on_the_cover(paper_of, tmp_path, name):
    paper = paper_of("K3")
    client = replace(paper.client, name=name, studio=name[:40], consultant=name[:40])
    pages = pages_of(replace(paper, client=client, title=f"Your colours: {name}"), tmp_path)
    plain = len(pages_of(paper, tmp_path))
    assert len(pages) == plain
    if "م" in name:  # a right-to-left line comes back in visual order
        assert not set(squeezed(name)) - set(pages[0])
    else:
        assert squeezed(name) in pages[0]


# Forty letters each, or a little more: two lines at most on the cover, wherever a font has them.
LONG_NAMES = {
    "Chinese": "山田花子王小明李静張偉趙敏陳曉東黃美玲林志強周麗華吳建國鄭秀英孫文博朱山田花子王",
    "Japanese": "やまだはなこさとうけんじタナカミナコすずきいちろう高橋直樹わたなべひろみこばやし",
    "Korean": "김민준이서연박지훈최수빈정예은강도윤조하은윤시우장지아임건우한소율오준서김민준이",
    "Arabic": "مريم الحداد عبد الرحمن بن محمد القاسمي الهاشمي",
    "Hebrew": "מרים כהן לוי מזרחי פרץ ביטון דהן אברהם פרידמן",
    "Devanagari": "प्रियदर्शिनी राजलक्ष्मी वेंकटरमण सुब्रह्मण्यम कृष्णमूर्ति",
}


@pytest.mark.parametrize("script", LONG_NAMES)
def test_a_long_name_in_any_script_is_drawn_on_the_cover_or_the_package_is_named(paper_of, tmp_path, script):
    paper, name = paper_of("K3"), LONG_NAMES[script]
    notes = write_client_paper(replace(paper, client=replace(paper.client, name=name)), tmp_path / "paper.pdf")
    pages = read(tmp_path / "paper.pdf")[0]
    if notes:
        assert f"on Debian: fonts-noto-{'cjk' if script in ('Chinese', 'Japanese', 'Korean') else 'core'}" in notes[0]
    else:
        assert not set(squeezed(name)) - set(squeezed(pages[0]))
    assert len(name) >= 40
    assert len(pages) == 5


def test_which_package_has_a_font_is_told_by_the_letters():
    assert all("fonts-noto-cjk" in pdf._no_font(text) for text in ("山", "や", "カ", "김"))
    assert all("fonts-noto-cjk" not in pdf._no_font(text) for text in ("م", "ש", "ॐ", "𐎠"))


def test_a_name_in_a_script_without_a_font_is_drawn_or_told(paper_of, tmp_path):
    paper = paper_of("K3")
    notes = write_client_paper(replace(paper, client=replace(paper.client, name="山田花子")), tmp_path / "paper.pdf")
    text = squeezed(" ".join(read(tmp_path / "paper.pdf")[0]))
    assert "山田花子" in text or "no installed font can draw" in notes[0]
    assert squeezed(paper.result.headline) in text


@pytest.mark.parametrize("count", [4, 24])
def test_any_number_of_categories_is_held(kit, demo_judgements, card, tmp_path, count):
    method = Method.parse(many_categories(count))
    sitting = Sitting(kit, method, seed=7).record_all(demo_judgements["K5"])
    paper = client_paper(card(), sitting, invented_palette())
    pages = pages_of(paper, tmp_path)
    assert squeezed(paper.result.sure) in pages[1]
    assert len(pages) == 5


def test_words_only_has_its_words_and_pairs(paper_of, tmp_path):
    paper = paper_of("K4", words_only=True)
    text = "".join(pages_of(paper, tmp_path))
    assert paper.alike
    assert [line for line in (*paper.pairing, *(a.text for a in paper.alike)) if squeezed(line) not in text] == []
    assert text.count(squeezed(paper.near[0].words)) >= 2
    assert paper_of("K4").alike == ()


def test_the_same_paper_gives_the_same_bytes(paper_of, tmp_path):
    for name in ("one.pdf", "two.pdf"):
        write_client_paper(paper_of("K5"), tmp_path / name)
    assert (tmp_path / "one.pdf").read_bytes() == (tmp_path / "two.pdf").read_bytes()


def test_a_palette_of_nothing_is_still_a_paper(card, sitting_of, tmp_path):
    bare = invented_palette(colours=(), metals=(), borrowed=(), missing=(), staples=())
    paper = client_paper(card(), sitting_of("K1"), bare)
    text = "".join(pages_of(paper, tmp_path))
    assert squeezed(paper.result.sentence) in text


def test_swatches_are_drawn_in_their_own_colour(paper_of, tmp_path):
    paper = paper_of("K5")
    pages_of(paper, tmp_path)
    with pypdfium2.PdfDocument(tmp_path / "paper.pdf") as document:
        page = document[0]
        image = page.render(scale=1).to_numpy().reshape(-1, 3)[:, ::-1]
        page.close()
    found = {"#{:02x}{:02x}{:02x}".format(*pixel) for pixel in {tuple(p) for p in image.tolist()}}
    assert {s.hex.lower() for s in paper.cover} <= found
