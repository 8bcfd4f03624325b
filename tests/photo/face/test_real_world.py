"""The photographs of the real world differ from the plain ones in what is said of them, and in nothing else."""

from dataclasses import replace

import numpy as np
import pytest
from numpy.testing import assert_allclose, assert_array_equal

from studies.photo.card_against_face import against_plans
from studies.scenes.card_light_faults import CARD, white_at_card
from studies.scenes.card_surface import CardSurface, repainted
from studies.scenes.exposure import Fault, Plan, Shot, Sight, every_skin_in_every_light, load_scene
from studies.scenes.lens import Lens
from studies.scenes.phone import Phone
from studies.scenes.real_world import RealPlan, in_world
from tenter.photo.patches.reference import CardValues

PLAIN = Plan("p6", "D65", "phone-a", Shot(seed=3))


def drawn(count, seed):
    return in_world(every_skin_in_every_light(("p6", "p8"), count, 4), "real", seed)


def test_a_world_without_any_of_it_is_the_plain_one():
    plain, same = PLAIN.take(), RealPlan(*PLAIN.__dict__.values()).take()
    assert np.abs(plain.picture.astype(int) - same.picture.astype(int)).max() <= 1


def test_the_same_seed_draws_the_same_photograph_and_another_another():
    (one,), (again,), (other,) = drawn(1, 5), drawn(1, 5), drawn(1, 6)
    assert_array_equal(one.take().picture, again.take().picture)
    assert not np.array_equal(one.take().picture, other.take().picture)


def test_scene_light_and_camera_stay_and_so_does_the_truth():
    (plain,) = every_skin_in_every_light(("p6",), 1, 4)
    (real,) = in_world([plain], "real", 7)
    assert (real.scene, real.lights, real.camera) == (plain.scene, plain.lights, plain.camera)
    one, other = plain.take(), real.take()
    assert one.xyz_d65.keys() == other.xyz_d65.keys()
    for name, xyz in one.xyz_d65.items():
        # a card's paints are its own, and white is what the truth is scaled by
        assert_allclose(other.xyz_d65[name], xyz, rtol=1e-6)


def test_every_tone_curve_rises_from_black_to_white():
    code = np.linspace(0, 1, 101)
    for plan in drawn(60, 8):
        toned = plan.phone.toned(code)
        assert_allclose(toned[[0, -1]], [0, 1], atol=1e-12)
        assert (np.diff(toned) >= 0).all()


def seen_through(card):
    kept = []
    RealPlan(*PLAIN.__dict__.values()).take(Fault(on_light=lambda sight: kept.append(sight) or sight.raw))
    sight: Sight = kept[0]
    return sight, card.seen(sight)


def test_the_frame_shines_and_the_patches_hardly_do():
    sight, shining = seen_through(CardSurface(sheen=0.03, range=1.4, veil=0.1, seed=2))
    frame = sight.scene.label == CARD
    shine = ((shining - 0.5 * sight.raw)[frame] / white_at_card(sight)).mean(axis=1)
    assert np.ptp(np.log(shine)) == pytest.approx(1.4, abs=0.1)
    assert np.exp(np.log(shine).mean()) == pytest.approx(0.03, abs=0.01)
    white = sight.scene.patch(sight.scene.white)
    assert_allclose(shining[white], sight.raw[white], rtol=0.02)
    assert_array_equal(shining[sight.scene.label < CARD], sight.raw[sight.scene.label < CARD])


def test_a_bent_card_is_lighter_on_one_side_and_alike_in_its_middle():
    sight, bent = seen_through(CardSurface(bend=6.0, seed=3))
    patches = [sight.scene.patch(k) for k in range(24)]
    gain = np.array([bent[mask].sum() / sight.raw[mask].sum() for mask in patches])
    places = np.array([np.argwhere(mask).mean(axis=0) for mask in patches])
    across = places[:, 1] - places[:, 1].mean()
    assert abs(np.corrcoef(across, gain)[0, 1]) > 0.95
    assert 0.03 < np.ptp(gain) < 0.25
    assert gain.mean() == pytest.approx(1, abs=0.02)


def test_a_lens_loses_as_much_in_the_corners_as_it_says():
    fallen = Lens(corner_loss=0.2).seen(np.ones((80, 64, 3)))
    assert fallen[40, 32, 0] == pytest.approx(1, abs=1e-3)
    assert fallen[0, 0, 0] == pytest.approx(0.8, abs=0.01)


def test_white_stays_white_whatever_the_balance():
    rendered = Phone(warmth=0.1, contrast=0.5, gamma=0.8, saturation=1.2).rendered(np.ones((8, 8, 3)))
    assert_allclose(rendered, 1, atol=1e-9)


def test_a_card_of_other_figures_has_their_white_and_not_the_mean():
    mean, later = (repainted("p6", CardSurface(values=values)) for values in (CardValues.MEAN_OF_30, "from-2014-11"))
    assert_allclose(mean.patch_reflectance, load_scene("p6").patch_reflectance, rtol=1e-9)
    assert not np.allclose(later.patch_reflectance, mean.patch_reflectance, rtol=0.01)


def test_faults_of_the_light_can_be_put_into_the_real_world():
    plain = against_plans(1, 3, ["shade ×0.5 on"])
    real = against_plans(1, 3, ["shade ×0.5 on"], world="real")
    assert [one.kind for one in plain] == [one.kind for one in real]
    shaded, clear = real[-1].take(), replace(real[-1], group="undisturbed").take()
    card = clear.scene.label >= 20
    assert shaded.picture[card].mean() < 0.85 * clear.picture[card].mean()
