"""The studio's sheet as an object: one palette with the client's paper, evidence by axis, for whom it speaks."""

import re
from dataclasses import asdict, replace
from math import exp, log

import pytest

from tenter import ConsultantVerdict, Preference, Sitting
from tenter.consultation.axes import Axis
from tenter.consultation.colours.colours import Basis, Part
from tenter.consultation.personal.making import personal_palette
from tenter.report.client_paper.content import client_paper
from tenter.report.reading.content import reading_sheet
from tenter.report.reading.why import axis_lines
from tenter.report.studio_sheet.content import studio_sheet
from tenter.report.studio_sheet.pdf import write_studio_sheet
from tenter.report.words.wording import times
from tests.report.reading.test_content import texts
from tests.support.clients.invented_palette import colour, invented_palette
from tests.support.tag_tree import tags

CLIENTS = ("K1", "K2", "K3", "K4", "K5")


def of(sheet):
    return [one for row in sheet.palette for one in row.colours]


@pytest.mark.parametrize("client", ["K2", "K3"])
def test_both_papers_show_one_palette(sitting_of, verdict_of, sheet_of, card, client):
    """The same colours under the same names and titles, drawn alike, and known in the same way."""
    sitting = sitting_of(client)
    palette = personal_palette(sitting, verdict_of(client))
    paper = client_paper(card(), sitting, palette)
    theirs = [*paper.near, *(s for r in paper.accents for s in r.shades), *paper.neutrals, *paper.whites]
    theirs += [*paper.metals, *paper.borrowed]
    ours = of(studio_sheet(sheet_of(client), sitting.kit, palette))
    assert {id(one) for one in ours}
    assert sorted(one.shade.name for one in ours) == sorted(s.name for s in theirs)
    assert {one.shade for one in ours} == set(theirs)
    held = {c.name.lower(): sitting.kit[c.cloth].name for c in palette.every if c.cloth and c.basis is Basis.SEEN}
    assert held
    not_held = {c.name.lower() for c in palette.metals if c.basis is Basis.CONVENTION}
    assert bool(not_held) == (client == "K3")
    assert {one.known for one in ours if one.shade.name.lower() in not_held} <= {""}
    assert {one.shade.name.lower(): one.known for one in ours if one.shade.name.lower() in held} == held


def test_the_cloths_held_say_what_the_palette_calls_them(sitting_of, sheet_of, kit):
    sheet = sheet_of("K5")
    best = sheet.wearing.section("best").seen[0]
    named = colour("apple", (60, 30, 120), Part.ACCENT, cloth=best.swatch.id, basis=Basis.SEEN)
    groups = studio_sheet(sheet, kit, invented_palette(colours=(named,))).held.groups
    found = {h.swatch.id: h.colour for g in groups for h in g.cloths}
    assert found.pop(best.swatch.id) == "apple"
    assert set(found.values()) == {""}
    assert [g.title for g in groups] == ["The client’s own", "In small areas", "Best kept away from the face"]
    assert all(h.answer for h in groups[0].cloths)


@pytest.mark.parametrize("basis", ["best", "another", "none"])
def test_the_kits_white_and_the_palettes_are_told_apart(sheet_of, kit, basis):
    """Where the palette's white is another than the kit's best, the sheet says so, and why."""
    sheet = sheet_of("K5")
    best = sheet.wearing.section("whites").lines[0].swatch
    cloth = {"best": best.id, "another": "D001", "none": None}[basis]
    white = colour("snow", (92, 3, 345), Part.WHITE, title="your white", cloth=cloth)
    told = " ".join(s.text for s in studio_sheet(sheet, kit, invented_palette(colours=(white,))).held.statements)
    said = {"best": "The palette has it as snow.", "another": "is another cloth", "none": "no cloth of the kit has"}
    assert [key for key, words in said.items() if words in told] == [basis]
    assert f"Best white of the kit: {best.name}" in told


@pytest.mark.parametrize("client", CLIENTS)
def test_every_axis_has_its_answers_and_their_worth(sheet_of, verdict_of, client):
    verdict = verdict_of(client)
    lines = sheet_of(client).why.by_axis
    assert [line.axis for line in lines] == [str(a).capitalize() for a in Axis]
    most = max(abs(t.log_odds) for t in verdict.by_axis.values())
    for axis, line in zip(Axis, lines, strict=True):
        assert line.reads.startswith(str(verdict.traits[axis]))
        found = verdict.by_axis.get(axis)
        if found is None:
            assert (line.answers, line.worth, line.share) == ("none", "", 0)
        else:
            assert (line.answers, line.worth) == (str(len(found.entries)), times(exp(found.log_odds)))
            assert line.share == pytest.approx(found.log_odds / most)


def test_an_axis_that_speaks_against_is_drawn_to_the_other_side(verdict_of):
    verdict = verdict_of("K5")
    axis = next(iter(verdict.by_axis))
    turned = replace(verdict, by_axis={axis: replace(verdict.by_axis[axis], log_odds=-log(4))})
    lines = {line.axis: line for line in axis_lines(turned)}
    assert (lines[axis.capitalize()].worth, lines[axis.capitalize()].share) == ("÷ 4.0", -1)
    assert [line.answers for name, line in lines.items() if name != axis.capitalize()] == ["none", "none"]


@pytest.mark.parametrize("client", CLIENTS)
def test_it_speaks_to_the_consultant_of_the_client(sheet_of, kit, client):
    """ "You" would be the client: the studio's sheet says "the client"; titles are names on the client's paper."""
    sheet = studio_sheet(sheet_of(client), kit, invented_palette())
    finding = sheet.reading.finding
    shown = asdict(
        replace(sheet, reading=replace(sheet.reading, finding=finding, wearing=None, cautions=(), pairing=()))
    )
    said = [t for t in texts(shown) if not t.startswith(("Your ", "your "))]
    where = "check the law where you work"
    assert [t for t in said if re.search(r"\b(you|your|yours)\b", t.replace(where, ""), re.IGNORECASE)] == [
        t for t in said if t.startswith("Go through these parts of the client’s paper")
    ]


@pytest.mark.parametrize("same", [False, True])
def test_the_nearest_to_a_loved_colour_is_the_one_on_the_clients_paper(kit, bundled, demo_judgements, card, same):
    """D011 is a vivid warm red, and K3 is light and soft."""
    sitting = Sitting(kit, bundled, seed=7).record_all(demo_judgements["K3"])
    sitting.record(Preference("D011"))
    lab = tuple(float(v) for v in kit.bench_colours.lab[kit.row("D011")])
    own = replace(colour("poppy", (47, 66, 33), Part.ACCENT), lab=lab)
    palette = invented_palette(colours=(own,)) if same else invented_palette()
    [theirs] = [w for w in client_paper(card(), sitting, palette).worry if w.startswith("You like")]
    [ours] = studio_sheet(reading_sheet(card(), sitting), kit, palette).likings
    ends = ("as poppy.", "The palette has it as poppy.") if same else ("is cranberry.", "in the palette is cranberry.")
    assert (theirs.endswith(ends[0]), ours.endswith(ends[1])) == (True, True)
    assert "Of the cloths, the nearest to it among their own" in ours


def test_your_red_is_explained_where_another_red_suits_better(sheet_of, kit):
    strong, soft = (colour(name, (50, c, 25), Part.ACCENT) for name, c in (("brick", 40), ("clay red", 25)))
    strong = replace(strong, title="your red", suitability=0.4)
    for of_soft, said in ((0.6, True), (0.3, False)):
        palette = invented_palette(colours=(strong, replace(soft, suitability=of_soft)))
        note = studio_sheet(sheet_of("K5"), kit, palette).palette_note
        assert ("“Your red” is the best of the plain reds." in note) is said


def test_a_palette_by_judgement_says_whose_it_is(kit, bundled, demo_judgements, card):
    sitting = Sitting(kit, bundled, seed=7).record_all(demo_judgements["K3"])
    sitting.record(ConsultantVerdict("warm autumn"))
    made = studio_sheet(reading_sheet(card(), sitting), kit, invented_palette(("warm autumn",), by_judgement=True))
    assert "follows the consultant’s judgement, warm autumn." in made.palette_note
    assert "judgement" not in studio_sheet(made.reading, kit, invented_palette()).palette_note


def test_every_swatch_mark_and_figure_is_spoken(sheet_of, kit, tmp_path):
    sheet = studio_sheet(sheet_of("K5"), kit, invented_palette())
    write_studio_sheet(sheet, tmp_path / "sheet.pdf")
    figures = [t.alt for page in tags(tmp_path / "sheet.pdf") for t in page if t.kind == "Figure"]
    assert figures
    assert all(figures)
    wanted = [*(m.word for m in sheet.reading.marks), "chosen by the consultant"]
    wanted += [one.shade.words for one in of(sheet)]
    wanted += [
        f"{t.axis}, from {t.low_end} to {t.high_end}: {t.text}, {t.numbers}" for t in sheet.reading.finding.traits
    ]
    assert [w for w in wanted if w not in figures] == []
