"""The client's paper as an object: what is said to the client, and what is not."""

import re
from dataclasses import asdict, replace

import pytest

from tenter import ConsultantVerdict, Preference, Sitting
from tenter.consultation.colours.colours import Basis, Honoured, Part, Staple, StapleAnswer
from tenter.consultation.findings.ending import Ending, Owed, Reached
from tenter.consultation.personal.making import personal_palette
from tenter.consultation.words.odds_words import Degree, OddsWord
from tenter.report.client_paper.content import client_paper
from tenter.report.client_paper.guide import sides_of
from tenter.report.client_paper.result import nearest, result
from tenter.report.client_paper.shades import ShadeSign
from tenter.report.client_paper.where import metals_text
from tenter.report.reading.finding import PROVISIONAL
from tenter.report.words.cautions import cautions
from tenter.report.words.palette_words import staple_words
from tests.report.reading.test_content import texts
from tests.support.clients.invented_palette import colour, invented_palette
from tests.support.unkind_words import unkind_words

CLIENTS = ("K1", "K2", "K3", "K4", "K5")
# What belongs to the bench: numbers of entries and cloths, units, odds and factors.
BENCH = re.compile(r"\bD\d{3}\b|\bL\*|\bLab\b|\bentr(y|ies)\b|\brail\b|\bodds\b|[×÷%]|\bbench\b|\bΔE|\d[.,]\d")


def said(paper):
    """Return every text of a paper that is read, but not the names and codes of colours, and not what nobody drew."""
    data = asdict(paper)
    for part in ("client", "title", "date"):
        data.pop(part)
    return [t for t in texts(data) if not t.startswith("#")]


@pytest.mark.parametrize("client", CLIENTS)
def test_nothing_of_the_bench_reaches_the_client(paper_of, sitting_of, kit, client):
    sitting, cloths = sitting_of(client), [drape.name for drape in kit.drapes]
    palette = personal_palette(sitting, sitting.verdict())
    for colours, paper in (
        (invented_palette(), paper_of(client)),
        (palette, client_paper(paper_of(client).client, sitting, palette)),
    ):
        names = re.compile("|".join(c.name for c in colours.colours + colours.metals + colours.borrowed), re.IGNORECASE)
        for text in said(paper):
            assert not BENCH.search(text), text
            assert not [name for name in cloths if re.search(rf"\b{re.escape(name)}\b", text)], text
            assert not unkind_words(names.sub("", text)), text  # old rose and old gold are names of colours


@pytest.mark.parametrize("client", CLIENTS)
def test_every_colour_of_the_palette_is_on_the_card_once_and_hangs_as_it_came(paper_of, client):
    paper, palette = paper_of(client), invented_palette()
    accents = [s.name for row in paper.accents for s in row.shades]
    on_card = [s.name for s in (*paper.near, *paper.neutrals, *paper.whites)] + accents
    assert sorted(on_card) == sorted(c.name.capitalize() for c in palette.colours)
    hung = [s.name.lower() for row in paper.rails for s in row.shades if row.title == "Blues"]
    assert hung == [c.name for c in palette.of_part(Part.NEAR_FACE, Part.ACCENT) if c.name in hung]
    assert [m.name for m in paper.metals] == ["Silver", "Pewter"]


def test_signs_tell_how_a_colour_came_there_and_the_consultants_choice_comes_first(card, sitting_of):
    colours = [
        colour("plum", (35, 24, 330), Part.ACCENT, basis=Basis.SEEN, chosen=True),
        colour("jade", (56, 26, 166), Part.ACCENT, basis=Basis.SEEN),
        colour("sage", (64, 14, 150), Part.ACCENT),
    ]
    paper = client_paper(card(), sitting_of("K1"), invented_palette(colours=tuple(colours), metals=(), borrowed=()))
    found = {s.name: s.sign for row in paper.accents for s in row.shades}
    assert found == {"Plum": ShadeSign.CHOSEN, "Jade": ShadeSign.SEEN, "Sage": ShadeSign.PREDICTED}
    assert [key.text for key in paper.signs] == [
        "seen on you",
        "predicted from what was seen",
        "chosen by your consultant",
    ]


def test_the_cover_shows_the_clients_own_names_first(paper_of):
    cover = paper_of("K1").cover
    assert len(cover) == 6
    assert "Your red" in [s.title for s in cover]


# -- how sure ----------------------------------------------------------------------------------------------------------


def test_a_finished_and_sure_result_is_called_clear(paper_of, sitting_of, verdict_of):
    found = paper_of("K5").result
    assert (found.cover, found.headline, found.sure) == ("Warm spring", "Warm spring", "A clear result.")
    lowered = replace(verdict_of("K5"), odds_word=OddsWord.LIKELY)
    assert result(sitting_of("K5").method, lowered, None, minor=False).sure.startswith("A likely result.")


@pytest.mark.parametrize("client", ["K1", "K2", "K3"])
def test_a_result_that_owes_something_is_said_to_be_so_far(paper_of, verdict_of, client):
    assert verdict_of(client).reached.ending is Ending.UNFINISHED
    found = paper_of(client).result
    assert found.cover.endswith(", so far")
    assert found.sure.startswith("Not finished yet")
    assert "within 6 more comparisons, about 6 minutes." in found.left
    assert paper_of(client).colours_note.startswith("They are chosen for all the results")


def test_an_open_result_names_those_that_are_nearest(paper_of):
    found = paper_of("K4").result
    assert (found.cover, found.headline) == ("The first of your colours", "Not finished yet")
    assert found.sure == "Nearest so far: warm autumn and soft autumn."
    assert found.left == "Half of simulated sittings were settled within 12 more comparisons, about 12 minutes."
    assert found.sentence.startswith("So far your best colours are warm and soft: ")


def test_a_trait_that_is_slight_on_the_studios_sheet_is_slight_in_the_sentence(paper_of, sitting_of, verdict_of):
    """K5 is strongly warm, slightly light and slightly bright."""
    assert paper_of("K5").result.sentence.startswith("Your best colours are warm, and a little light and bright: ")
    traits = {axis: replace(t, degree=Degree.SLIGHT) for axis, t in verdict_of("K5").traits.items()}
    told = result(sitting_of("K5").method, replace(verdict_of("K5"), traits=traits), None, minor=False).sentence
    assert told.startswith("Your best colours are a little warm, light and bright: ")


def test_an_open_result_does_not_hide_others_that_are_as_likely(verdict_of):
    verdict = verdict_of("K4")
    rest = dict.fromkeys(verdict.probabilities, 0.073)
    near = {verdict.category: 0.14, verdict.runner_up: 0.13}
    assert nearest(replace(verdict, probabilities=rest | near)).endswith("Others are nearly as likely.")
    far = dict.fromkeys(verdict.probabilities, 0.01) | {verdict.category: 0.5, verdict.runner_up: 0.4}
    assert (
        nearest(replace(verdict, probabilities=far)) == f"Nearest so far: {verdict.category} and {verdict.runner_up}."
    )


def test_what_is_owed_beside_odds_is_no_promise_of_odds(sitting_of, verdict_of):
    owed = replace(
        verdict_of("K5"), reached=Reached(Ending.UNFINISHED, (Owed.DEPTH,), 1), settling_pair=("D001", "D002")
    )
    left = result(sitting_of("K5").method, owed, None, minor=False).left
    assert left == "A few more comparisons, about 1 minute, would complete it."


def test_between_two_both_are_named_and_one_palette_serves_both(between, card):
    verdict = between.verdict()
    paper = client_paper(card(), between, personal_palette(between, verdict))
    both = (verdict.category, verdict.runner_up)
    assert paper.result.headline == f"Between {both[0]} and {both[1]}"
    assert "Not finished" not in paper.result.sure
    assert paper.result.left == ""
    assert paper.result.sentence.startswith("Your best colours are light: ")
    assert all(name in paper.colours_note for name in both)


def test_a_minors_result_is_provisional_and_speaks_of_no_make_up(paper_of):
    grown, minor = paper_of("K3"), paper_of("K3", minor=True)
    assert PROVISIONAL in minor.result.notes
    assert PROVISIONAL not in grown.result.notes
    assert [a.title for a in minor.guide.shades] == ["Glasses"]
    assert len(grown.guide.shades) == 3
    assert "minor" in {c.key for c in minor.cautions}


def test_what_the_consultant_names_is_hers_and_nothing_speaks_for_another(kit, bundled, demo_judgements, card):
    sitting = Sitting(kit, bundled, seed=7).record_all(demo_judgements["K5"])
    sitting.record(ConsultantVerdict("warm autumn", note="Muted rusts evened the jaw each time"))
    paper = client_paper(card(), sitting, invented_palette(("warm autumn",)))
    assert paper.result.headline == paper.result.cover == "Warm autumn"
    assert paper.result.sure == "By your consultant’s judgement."
    assert paper.result.notes == ("Muted rusts evened the jaw each time.",)
    assert paper.seen == ()
    assert not [t for t in said(paper) if "spring" in t]


# -- the rest ----------------------------------------------------------------------------------------------------------


def test_all_cautions_but_the_studios_are_there(paper_of):
    keys = [c.key for c in paper_of("K3", minor=True).cautions]
    assert keys == [c.key for c in cautions(minor=True) if c.key != "law"]


def test_staples_say_near_away_or_what_to_swap_for(paper_of):
    answers = {s.name: s.answer for s in paper_of("K1").staples}
    assert list(answers) == ["Black", "Navy", "Grey", "Denim", "Camel", "Brown", "White", "Beige"]
    assert answers["Black"] == "swap for charcoal"
    assert answers["Navy"] == "away from your face"
    assert answers["Grey"] == "near your face"


def test_a_staple_that_is_as_good_as_ones_own_neutral_is_not_swapped_for_it(card, sitting_of, verdict_of):
    """A dark navy was too dark for K2 when held, and yet is a neutral of theirs: away from the face, as that is."""
    palette = personal_palette(sitting_of("K2"), verdict_of("K2"))
    assert "navy" in {c.name for c in palette.of_part(Part.NEUTRAL)}
    answers = {s.name: s.answer for s in client_paper(card(), sitting_of("K2"), palette).staples}
    assert answers["Navy"] == "away from your face"


def test_nothing_is_said_of_borrowed_colours_where_there_are_none(card, sitting_of):
    plain = invented_palette()
    assert plain.borrowed
    for palette, told in ((plain, True), (replace(plain, borrowed=()), False)):
        small = client_paper(card(), sitting_of("K1"), palette).where[-1].text
        assert ("you borrow" in small) is told


def test_another_shade_of_the_same_name_is_called_the_clients_own(card, sitting_of):
    camel = (Staple("camel", (62.0, 7.0, 24.0), StapleAnswer.SWAP, "camel"),)
    paper = client_paper(card(), sitting_of("K1"), invented_palette(staples=camel))
    assert [s.answer for s in paper.staples] == ["swap for your own camel"]
    assert staple_words(camel[0], "the") == "swap for the client’s own camel"


@pytest.mark.parametrize(
    ("client", "said"),
    [
        ("K1", "Cool metals go with your colouring by convention. On you, warm ones did no worse."),
        ("K2", "Cool metals sit most quietly with your skin."),
        ("K4", "Warm metals go with your colouring by convention."),
    ],
)
def test_a_metal_sits_quietly_only_where_that_was_seen(sitting_of, verdict_of, client, said):
    """K1's were equal when held, K2's silver did better, and none was held on K4."""
    sitting, verdict = sitting_of(client), verdict_of(client)
    metals = personal_palette(sitting, verdict).metals
    assert metals_text(sitting, metals, sides_of(verdict.traits)) == said


def test_only_black_that_is_swapped_is_sent_below_the_waist(card, sitting_of):
    """Black that is worn near the face, or as a coat, is one of the client's own colours."""
    plain = invented_palette()
    own = [
        tuple(replace(s, answer=answer, swap_for="") for s in plain.staples)
        for answer in (StapleAnswer.NEAR, StapleAnswer.AWAY)
    ]
    spoken = [
        [w for w in client_paper(card(), sitting_of("K1"), invented_palette(staples=s)).worry if "black" in w]
        for s in (plain.staples, *own)
    ]
    assert [len(w) for w in spoken] == [1, 0, 0]


def test_a_liked_colour_is_answered_by_a_plain_one(kit, bundled, demo_judgements, card):
    sitting = Sitting(kit, bundled, seed=7).record_all(demo_judgements["K3"])
    sitting.record(Preference("D011"))  # a vivid warm red
    lab = tuple(float(v) for v in kit.bench_colours.lab[kit.row("D011")])
    own = replace(colour("poppy", (47, 66, 33), Part.ACCENT), lab=lab)
    without, within = (
        [w for w in client_paper(card(), sitting, palette).worry if w.startswith("You like")]
        for palette in (invented_palette(), invented_palette(colours=(own,)))
    )
    assert without == [
        "You like scarlet, a medium vivid red. That did not influence the result, and you may keep it: away from your "
        "face, or in a small area. The nearest of your own is cranberry."
    ]
    assert within == ["You like scarlet, a medium vivid red. It is among your colours, as poppy."]


@pytest.mark.parametrize("client", CLIENTS)
def test_every_reason_names_a_place_on_the_face(paper_of, client):
    seen = paper_of(client).seen
    assert seen
    assert all(re.search(r"\byour \w+", line) for line in seen)


def test_what_the_client_asked_for_is_said_with_what_became_of_it(paper_of, sitting_of):
    told = (Honoured("uniform", "You have to wear navy."), Honoured("Wool itches!", ""), Honoured("", "No red."))
    paper = client_paper(paper_of("K1").client, sitting_of("K1"), replace(invented_palette(), honoured=told))
    assert paper.asked == ("Uniform. You have to wear navy.", "Wool itches!", "No red.")
    assert paper_of("K1").asked == ()
