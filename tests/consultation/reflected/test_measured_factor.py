"""F from photographs in turn: what comes back of known scenes, with drift, noise and a card that is lit too."""

import json
from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose

from tenter.colorimetry.measurement import D65_2
from tenter.colorimetry.reflectance import reflectance_to_xyz, under_reflected_light
from tenter.colorimetry.typology import mean_skin_reflectance
from tenter.consultation.cloths.reflection_factors import (
    MOST_FACTOR,
    ReflectionFactor,
    ShadedSide,
    default_factors,
)
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.measured_factor import RoomPhotographs, measured_factors
from tenter.consultation.reflected.room import (
    measure_room,
    read_room_factors,
    read_room_photographs,
    room_photographs,
)
from tenter.errors import Refused, TenterError, UnreadableInput

WHITE = ThrowingSurface("white", np.full(81, 0.86), recovered=False)
BLACK = ThrowingSurface("black", np.full(81, 0.03), recovered=False)
DEFAULTS = default_factors(ShadedSide.LEFT)
TRUE = {region: factor.value for region, factor in DEFAULTS.items()} | {"chin": 0.15, "jaw_left": 0.4}


def photographs(letters="ABAB", drift=0.0, noise=0.0, card=0.0, factors=TRUE, error=0.0, seed=3):
    """Return what photographs would read; card: F of what holds the exposure. A is white."""
    rng = np.random.default_rng(seed)
    cloths = [{"A": WHITE, "B": BLACK}[letter] for letter in letters]
    xyz = {}
    for region, factor in factors.items():
        rows = []
        for k, cloth in enumerate(cloths):
            seen = under_reflected_light(mean_skin_reflectance(), cloth.reflectance, factor, DEFAULTS[region].sheen)
            held = np.exp(drift * k + rng.normal(0, noise)) / (1 + card * cloth.reflectance.mean())
            rows.append(reflectance_to_xyz(seen, D65_2.illuminant, D65_2.observer) * held)
        xyz[region] = np.array(rows)
    return RoomPhotographs(letters, xyz, D65_2, 0.0, error)


@pytest.mark.parametrize("drift", [0.0, 0.02, -0.05])
@pytest.mark.parametrize("card", [0.0, 0.01])
@pytest.mark.parametrize("letters", ["ABAB", "BABA", "ABABAB", "ABBA"])
def test_the_room_comes_back_whatever_drifts_and_whatever_lights_the_card(letters, drift, card):
    a, b = (WHITE, BLACK)
    found = measured_factors(photographs(letters, drift, card=card), a, b, DEFAULTS)
    assert set(found) == set(DEFAULTS) - {"forehead"}
    for region, measured in found.items():  # how light the skin is, and so what its sheen adds, drifts with the light
        assert measured.estimate == pytest.approx(TRUE[region], rel=0.05 if drift else 0.01)


def test_where_the_interval_holds_the_default_the_default_stays():
    found = measured_factors(photographs(noise=0.002, error=0.33), WHITE, BLACK, DEFAULTS)
    for region in ("chin", "jaw_left"):
        assert not found[region].kept_default
        assert found[region].used.value == pytest.approx(TRUE[region], rel=0.2)
        assert found[region].low < TRUE[region] < found[region].high
        assert found[region].used.sheen == DEFAULTS[region].sheen
    for region in ("jaw_right", "cheek_left", "lips"):
        kept = found[region]
        assert kept.kept_default
        assert kept.used.value == DEFAULTS[region].value
        assert kept.used.low >= DEFAULTS[region].low
        assert kept.used.high <= DEFAULTS[region].high


def test_noise_that_no_line_explains_widens_the_interval_and_drift_does_not():
    still, drifting, noisy = (
        measured_factors(photographs(**how), WHITE, BLACK, DEFAULTS)["chin"]
        for how in ({"noise": 1e-4}, {"noise": 1e-4, "drift": 0.03}, {"noise": 3e-3})
    )
    assert drifting.high - drifting.low == pytest.approx(still.high - still.low, rel=0.05)
    assert noisy.high - noisy.low > 5 * (still.high - still.low)


def test_drift_of_a_place_against_the_forehead_is_said():
    turned = photographs()
    chin = turned.xyz["chin"] * np.exp(0.02 * np.arange(4))[:, None]
    found = measured_factors(replace(turned, xyz={**turned.xyz, "chin": chin}), WHITE, BLACK, DEFAULTS)
    assert found["chin"].drift == pytest.approx(0.02)
    assert found["chin"].estimate == pytest.approx(TRUE["chin"], rel=0.01)
    assert found["jaw_left"].drift == pytest.approx(0.0, abs=1e-9)


def test_intervals_of_noisy_series_hold_the_truth_nine_times_in_ten_or_more():
    held = [
        found.low <= TRUE[region] <= found.high
        for seed in range(60)
        for region, found in measured_factors(photographs(noise=2e-3, seed=seed), WHITE, BLACK, DEFAULTS).items()
    ]
    assert np.mean(held) > 0.88


def test_a_place_that_half_of_the_photographs_lack_is_left_out():
    read = photographs("ABABAB")
    chin = read.xyz["chin"].copy()
    chin[1] = np.nan
    jaw = np.full((6, 3), np.nan)
    jaw[:2] = read.xyz["jaw_left"][:2]
    found = measured_factors(replace(read, xyz={**read.xyz, "chin": chin, "jaw_left": jaw}), WHITE, BLACK, DEFAULTS)
    assert found["chin"].estimate == pytest.approx(TRUE["chin"], rel=0.01)
    assert "jaw_left" not in found


def test_light_beyond_what_a_cloth_can_throw_is_as_much_as_a_room_has():
    read = photographs()
    chin = read.xyz["chin"] * np.where(np.arange(4) % 2, 1.0, 40.0)[:, None]
    found = measured_factors(replace(read, xyz={**read.xyz, "chin": chin}), WHITE, BLACK, DEFAULTS)
    assert found["chin"].estimate == MOST_FACTOR


def test_what_cannot_be_measured_by_is_refused():
    grey = ThrowingSurface("grey", np.full(81, 0.2), recovered=False)
    with pytest.raises(Refused, match="Use a white and a black"):
        measured_factors(photographs(), grey, BLACK, DEFAULTS)
    read = photographs()
    hidden = {region: xyz for region, xyz in read.xyz.items() if region != "forehead"}
    with pytest.raises(Refused, match="forehead"):
        measured_factors(replace(read, xyz=hidden), WHITE, BLACK, DEFAULTS)
    for letters in ("AB", "AAB", "AAAA"):
        with pytest.raises(TenterError, match="two of each cloth"):
            photographs(letters)
    with pytest.raises(TenterError, match="one row a photograph"):
        RoomPhotographs("ABAB", {"chin": np.ones((3, 3))}, D65_2, 0.0, 0.0)


# -- the room as a file ---------------------------------------------------------------------------------------------


def series_json(read):
    rows = {r: [None if np.isnan(v).any() else v.tolist() for v in xyz] for r, xyz in read.xyz.items()}
    return {
        **{"accepted": True, "refusals": [], "notes": [], "pattern": read.letters, "basis": "chart"},
        **{"illuminant": "D65", "observer": "2", "frames": [], "from": "A", "to": "B", "regions": {}},
        **{"exposure_change": None, "white_balance_change": None},
        "for_room": {"xyz": rows, "lightness_floor": 0.06, "relative_error_90": 0.33, "drape": [0.9, 0.03, 0.9, 0.03]},
    }


def test_a_room_is_measured_kept_and_read_again(tmp_path):
    file = tmp_path / "series.json"
    read = photographs()
    dark = {region: xyz * (0.5 if region == "cheek_left" else 1.0) for region, xyz in read.xyz.items()}
    file.write_text(json.dumps(series_json(replace(read, xyz=dark))), encoding="utf-8")
    room = measure_room(read_room_photographs(file), WHITE, BLACK)
    assert room.shaded is ShadedSide.LEFT
    assert room.factors["forehead"] == DEFAULTS["forehead"]
    assert room.factors["chin"].value == pytest.approx(TRUE["chin"], rel=0.01)
    kept = tmp_path / "room.json"
    kept.write_text(json.dumps(room.to_json()), encoding="utf-8")
    again = read_room_factors(kept)
    assert list(again) == list(room.factors)
    for region, factor in room.factors.items():
        assert_allclose(
            [again[region].value, again[region].low, again[region].high, again[region].sheen],
            [factor.value, factor.low, factor.high, factor.sheen],
            atol=1e-4,
        )


@pytest.mark.parametrize(
    "spoil",
    [
        lambda d: d.pop("for_room"),
        lambda d: d.update(for_room=None),
        lambda d: d.update(pattern="ABBB"),
        lambda d: d["for_room"]["xyz"].update(chin=[[0.1, 0.2, -0.3]] * 4),
        lambda d: d["for_room"]["xyz"].update(chin=[[0.1, 0.2]] * 4),
        lambda d: d["for_room"]["xyz"].update(chin="none"),
        lambda d: d["for_room"].update(relative_error_90="wide"),
    ],
)
def test_another_document_is_no_series(spoil):
    document = series_json(photographs())
    spoil(document)
    with pytest.raises(UnreadableInput, match="tenter face series"):
        room_photographs(document)


def test_a_refused_series_measures_no_room():
    with pytest.raises(Refused, match="The card changes"):
        room_photographs({**series_json(photographs()), "refusals": ["The card changes."], "for_room": None})


@pytest.mark.parametrize("text", ["", "[]", "{}", '{"regions": {"chin": {}}}', '{"regions": {"chin": {"factor": 9}}}'])
def test_another_document_is_no_room(tmp_path, text):
    file = tmp_path / "room.json"
    file.write_text(text, encoding="utf-8")
    with pytest.raises(UnreadableInput, match="measured room was saved"):
        read_room_factors(file)


def test_a_factor_keeps_its_range_when_it_is_read_from_the_largest_room(tmp_path):
    file = tmp_path / "room.json"
    said = {"factor": MOST_FACTOR, "factor_range": [0.1, MOST_FACTOR], "sheen": 0.0}
    file.write_text(json.dumps({"regions": {"chin": said}}), encoding="utf-8")
    assert read_room_factors(file) == {"chin": ReflectionFactor(MOST_FACTOR, 0.1, MOST_FACTOR)}
