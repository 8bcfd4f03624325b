"""The personal palette as a whole: its numbers, its distances, its order, and what it rests on."""

from collections import Counter

import numpy as np
import pytest

from tenter.colorimetry.difference import delta_e_2000
from tenter.colorimetry.real_surfaces import is_real_surface
from tenter.colorimetry.spaces import lab_to_lch
from tenter.consultation.cloths.hue_families import hue_family
from tenter.consultation.colours.colours import Basis, Part, Suited
from tenter.consultation.conventions.palette_quotas import AccentGroup
from tenter.consultation.personal.making import known_of, personal_palette
from tenter.consultation.words.traits import UndertoneSide
from tests.support.clients.palette_clients import CATEGORIES, METHOD, client

QUIET = (Part.NEUTRAL, Part.WHITE)


@pytest.fixture(scope="module")
def made(demo_sittings, demo_verdicts):
    """The palettes of the invented studio's clients."""
    return {name: personal_palette(demo_sittings[name], verdict) for name, verdict in demo_verdicts.items()}


def every_palette(made):
    return [*made.values(), *(client(c)[1] for c in CATEGORIES)]


def test_a_palette_has_44_colours_in_the_parts_that_the_method_says(made):
    for palette in every_palette(made):
        parts = Counter(c.part for c in palette.colours)
        assert len(palette.colours) == METHOD.quotas.total == 44
        assert (parts[Part.NEUTRAL], parts[Part.WHITE]) == (10, 2)
        assert (parts[Part.NEAR_FACE], parts[Part.ACCENT]) == (8, 24)
        assert len(palette.borrowed) <= 5


@pytest.mark.parametrize("category", CATEGORIES)
def test_the_accents_keep_the_quotas_of_the_clients_undertone(category):
    side = METHOD.side_of[METHOD.season_of[category]]
    quotas = METHOD.quotas.shifted(METHOD.shifts, side).accents
    _, palette = client(category)
    for group in AccentGroup:
        found = [c for c in palette.of_part(Part.ACCENT) if c.hue_family in group.families]
        assert len(found) == quotas[group]
    assert quotas[AccentGroup.PURPLES] == (2 if side is UndertoneSide.WARM else 3)


def test_colours_are_6_apart_and_neutrals_4(made):
    for palette in every_palette(made):
        every = (*palette.colours, *palette.borrowed)
        lab, quiet = np.array([c.lab for c in every]), np.array([c.part in QUIET for c in every])
        apart = np.asarray(delta_e_2000(lab[:, None], lab[None]))
        least = np.where(quiet[:, None] & quiet[None], 4.0, 6.0)
        different = ~np.eye(len(every), dtype=bool)
        assert np.all(apart[different] >= least[different] - 1e-9)


def test_no_two_colours_share_a_name(made):
    for palette in every_palette(made):
        names = [c.name for c in (*palette.colours, *palette.borrowed)]
        assert len(set(names)) == len(names)


def test_predicted_colours_are_colours_of_real_surfaces_and_of_their_hue(made):
    for palette in every_palette(made):
        predicted = [c for c in (*palette.colours, *palette.borrowed) if c.basis is Basis.PREDICTED]
        assert len(predicted) > 15
        assert is_real_surface(np.array([c.lab for c in predicted])).all()
        assert [c.hue_family for c in predicted] == [hue_family(c.lab) for c in predicted]


def test_the_order_is_a_shops_and_not_that_of_how_it_is_known(made):
    for palette in every_palette(made):
        rails = [_rail(c) for c in palette.colours]
        assert rails == sorted(rails)
        for rail in set(rails):
            lightness = [lab_to_lch(np.array(c.lab))[0] for c in palette.colours if _rail(c) == rail]
            assert lightness == sorted(lightness, reverse=True)


def _rail(colour):
    if colour.part in QUIET:
        return QUIET[::-1].index(colour.part)
    order = ("reds_and_pinks", "yellows_and_oranges", "greens", "teals", "blues", "purples")
    return 2 + next(i for i, g in enumerate(order) if colour.hue_family in AccentGroup(g).families)


def test_cloths_that_did_well_are_seen_with_their_answer_and_place(made, demo_sittings):
    seen = [c for palette in made.values() for c in palette.colours if c.basis is Basis.SEEN]
    assert len(seen) > 8
    assert all(c.cloth and c.answer for c in seen)
    assert any("seen at the" in c.answer for c in seen)
    names = {d.name.lower() for d in demo_sittings["K5"].kit.drapes}
    assert all(c.name not in names and c.cloth not in c.name for c in seen)
    assert all(
        c.cloth is None and c.answer == "" for p in made.values() for c in p.colours if c.basis is Basis.PREDICTED
    )


def test_a_cloth_that_was_off_keeps_predicted_colours_like_it_away(made, demo_sittings, demo_verdicts):
    banned = 0
    for name, palette in made.items():
        sitting = demo_sittings[name]
        off = [e for e in sitting.palette().entries if e.found.off and not e.drape.is_metal]
        for entry in off:
            lab = sitting.kit.bench_colours.lab[sitting.kit.row(entry.drape.id)]
            assert all(delta_e_2000(c.lab, lab) > 5 for c in palette.colours if c.basis is Basis.PREDICTED), (
                entry.drape.id
            )
            banned += 1
    assert banned > 5


@pytest.mark.parametrize("category", CATEGORIES)
def test_your_red_is_a_red_and_there_is_one(category):
    _, palette = client(category)
    [red] = [c for c in palette.colours if c.title == "your red"]
    assert red.hue_family == "red"
    assert red.part in (Part.NEAR_FACE, Part.ACCENT)


def test_what_is_held_to_the_face_suits_best():
    for category in CATEGORIES:
        _, palette = client(category)
        face = [c.suitability for c in palette.of_part(Part.NEAR_FACE)]
        accents = [c.suitability for c in palette.of_part(Part.ACCENT)]
        assert min(face) > np.median(accents)
        assert all(c.fit is Suited.BEST for c in palette.of_part(Part.NEAR_FACE))


def test_the_same_sitting_gives_the_same_palette(made, demo_sittings, demo_verdicts):
    again = personal_palette(demo_sittings["K2"], demo_verdicts["K2"])
    assert again.colours == made["K2"].colours
    assert again.borrowed == made["K2"].borrowed
    assert known_of(demo_sittings["K2"], demo_verdicts["K2"]).masses.keys() == demo_verdicts["K2"].probabilities.keys()


# The trade: a dark amber or an olive is an autumn's. Common practice, no source.
@pytest.mark.parametrize("category", CATEGORIES)
def test_the_clear_have_no_olive_and_no_dark_amber_among_their_accents(category):
    _, palette = client(category)
    accents = [lab_to_lch(np.array(c.lab)) for c in palette.of_part(Part.ACCENT, Part.NEAR_FACE)]
    olive = [L for L, _, h in accents if 65 <= h <= 118 and L < 60]
    assert not olive or METHOD.region(category).prototype[2] < 1
    assert olive or category not in ("warm autumn", "deep autumn")
