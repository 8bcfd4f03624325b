"""What the consultant changes of a palette: it stays as chosen, is marked, and nothing else moves."""

import json

import numpy as np
import pytest

from tenter import Kit, Method, Sitting, TenterError
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.colours.colours import Basis, Part, StapleAnswer
from tenter.consultation.personal.edits import (
    Add,
    ChosenColour,
    Drop,
    Move,
    Swap,
    alternatives,
    colour_key,
    edited,
    offers,
)
from tenter.consultation.personal.edits_file import edit_document, edit_from
from tenter.consultation.personal.making import known_of, personal_palette
from tenter.consultation.personal.tried import tried
from tenter.consultation.record.ledger import demo_ledger, judgements_of_client

CORAL = ChosenColour((66.0, 45.0, 30.0), "my coral")
EDITS = (
    Drop("48.0 17.4 4.5"),
    Swap("D026", ChosenColour((60.0, 20.0, 4.0), cloth="D027")),
    Add(CORAL, Part.NEAR_FACE),
    Move("D026", "D023"),
    Move("D026"),
)


@pytest.fixture(scope="module")
def client():
    """A sitting with its palette and what is known of its client."""
    kit = Kit.demo()
    sitting = Sitting(kit, Method.bundled(), seed=7).record_all(judgements_of_client(demo_ledger(kit), "K1"))
    verdict = sitting.verdict()
    known = known_of(sitting, verdict)
    return personal_palette(sitting, verdict), known, tried(sitting, sitting.palette(), known)


def keys(palette):
    return [colour_key(c) for c in palette.colours]


def test_without_edits_it_is_the_palette_itself(client):
    made, known, _ = client
    assert edited(made, (), known) is made
    assert len(set(keys(made))) == len(made.colours)


def test_a_dropped_colour_is_gone_and_the_others_hang_as_they_did(client):
    made, known, _ = client
    for gone in (made.colours[20], made.metals[0]):
        found = edited(made, [Drop(colour_key(gone))], known)
        assert keys(found) == [k for k in keys(made) if k != colour_key(gone)]
        assert gone not in found.metals


def test_a_swapped_colour_hangs_in_the_place_and_for_the_part_of_the_other(client):
    made, known, _ = client
    at = next(i for i, c in enumerate(made.colours) if c.title == "your red")
    old = made.colours[at]
    found = edited(made, [Swap(colour_key(old), CORAL)], known).colours[at]
    assert (found.lab, found.name, found.chosen) == (CORAL.lab, "my coral", True)
    assert (found.part, found.title) == (old.part, "your red")
    assert found.interval[0] <= found.suitability <= found.interval[1]


def test_an_added_colour_hangs_among_its_own_hue_light_to_dark(client):
    made, known, _ = client
    found = edited(made, [Add(CORAL, Part.NEAR_FACE)], known)
    at = keys(found).index(CORAL.key)
    assert len(found.colours) == len(made.colours) + 1
    pinks = (HueFamily.PINK, HueFamily.RED)
    assert found.colours[at].hue_family in pinks
    assert found.colours[at + 1].hue_family in pinks
    assert found.colours[at + 1].lab[0] <= CORAL.lab[0] <= found.colours[at - 1].lab[0]


def test_a_cloth_that_was_seen_stays_seen_when_it_is_chosen(client):
    made, known, trial = client
    cloth, lab = trial.drapes[0].id, tuple(trial.lab[0])
    bare = edited(made, [Drop(cloth)], known, trial)
    found = edited(bare, [Add(ChosenColour(lab, cloth=cloth))], known, trial)
    [again] = [c for c in found.colours if c.cloth == cloth]
    assert (again.basis, again.chosen, again.answer) == (Basis.SEEN, True, trial.answers[0])
    [unseen] = [c for c in edited(bare, [Add(CORAL)], known, trial).colours if c.chosen]
    assert unseen.basis is Basis.PREDICTED


def test_what_hangs_already_is_only_marked_as_chosen(client):
    made, known, _ = client
    there = made.colours[5]
    found = edited(made, [Add(ChosenColour(there.lab, cloth=there.cloth or ""))], known)
    assert keys(found) == keys(made)
    assert [c.chosen for c in found.colours].count(True) == 1
    swapped = edited(made, [Swap(colour_key(made.colours[6]), ChosenColour(there.lab, cloth=there.cloth or ""))], known)
    assert keys(swapped) == [k for k in keys(made) if k != colour_key(made.colours[6])]


def test_a_moved_colour_hangs_before_the_one_that_is_named_or_last(client):
    made, known, _ = client
    first, tenth = keys(made)[0], keys(made)[10]
    assert keys(edited(made, [Move(tenth, first)], known))[:2] == [tenth, first]
    assert keys(edited(made, [Move(first)], known))[-1] == first
    assert keys(edited(made, [Move(first, "no such colour")], known)) == keys(made)
    assert keys(edited(made, [Move(first, first)], known)) == keys(made)


def test_what_is_gone_by_now_is_not_missed_and_what_was_chosen_for_it_stays(client):
    made, known, _ = client
    found = edited(made, [Drop("no such colour"), Move("nor this"), Swap("nor that", CORAL)], known)
    assert set(keys(found)) == {*keys(made), CORAL.key}


def test_a_staple_is_swapped_for_no_colour_that_was_dropped(client):
    made, known, trial = client
    swapped = next(s for s in made.staples if s.answer is StapleAnswer.SWAP)
    [gone] = [c for c in made.colours if c.name == swapped.swap_for]
    found = edited(made, [Drop(colour_key(gone))], known, trial)
    names = {c.name for c in found.colours}
    assert all(s.swap_for in names for s in found.staples if s.swap_for)


def test_no_two_colours_share_a_name(client):
    made, known, _ = client
    found = edited(made, [Add(ChosenColour((66.0, 45.0, 30.0), made.colours[3].name)), Add(CORAL)], known)
    names = [c.name for c in found.colours]
    assert len(set(names)) == len(names)


def test_what_is_offered_is_near_apart_and_suits_best_first(client):
    made, known, _ = client
    offered = alternatives(made, made.colours[25], known)
    assert len(offered) == 8
    assert not {ChosenColour(lab).key for lab in offered} & set(keys(made))
    families = [HueFamily.BLUE] * len(found) if (found := offers(made, HueFamily.BLUE, known)) else []
    suits = known.suitability(known.places(np.array(found), families))
    assert list(suits) == sorted(suits, reverse=True)


@pytest.mark.parametrize("edit", EDITS, ids=lambda e: type(e).__name__)
def test_an_edit_is_kept_as_json(edit):
    assert edit_from(json.loads(json.dumps(edit_document(edit)))) == edit


@pytest.mark.parametrize(
    ("document", "problem"),
    [
        ({}, "edit of a palette"),
        ({"edit": "paint"}, "'paint'"),
        ({"edit": "drop"}, "“colour” of an edit"),
        ({"edit": "drop", "colour": 3}, "“colour” of an edit"),
        ({"edit": "swap", "colour": "D001"}, "which, as lab"),
        ({"edit": "add", "chosen": {"lab": [1, 2]}}, "three numbers"),
        ({"edit": "add", "chosen": {"lab": [50, 0, 900]}}, "from -128 to 127"),
        ({"edit": "add", "chosen": {"lab": [50, 0, 0], "name": 7}}, "a colour's name"),
        ({"edit": "add", "chosen": {"lab": [50, 0, 0]}, "part": "hat"}, "'hat'"),
        ({"edit": "add", "chosen": {"lab": [50, 0, 0]}, "part": "metal"}, "'metal'"),
        ({"edit": "move", "colour": "D001", "before": None}, "“before” of an edit"),
    ],
)
def test_what_is_no_edit_is_refused(document, problem):
    with pytest.raises(TenterError, match=problem.replace("*", r"\*")):
        edit_from(document)
