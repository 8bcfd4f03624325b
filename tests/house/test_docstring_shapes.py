"""The shapes that docstrings of colour arithmetic and statistics say are those of what is returned."""

import re

import numpy as np
import pytest

from tenter.colorimetry import (
    adaptation,
    difference,
    harmony,
    illuminants,
    munsell,
    real_surfaces,
    reflectance,
    spaces,
    typology,
)
from tenter.inference import lattice, likelihood, planning, posterior, utility
from tests.house.test_docstrings import SHAPE

# Two rows of four colours, such as skin has, and what they are seen under.
_LAB = np.linspace((50.0, 2.0, 8.0), (60.0, 5.0, 14.0), 8).reshape(2, 4, 3)
_D65 = ("D65", illuminants.Observer.CIE_1931_2)
_WHITE = illuminants.white_point(*_D65)
_SPECTRA = np.full((2, 4, 81), 0.4)
CALLED = (
    (spaces.xyz_to_lab, (_LAB / 100, _WHITE)),
    (spaces.lab_to_xyz, (_LAB, _WHITE)),
    *(
        (f, (_LAB,))
        for f in (spaces.chroma, spaces.hue_angle, spaces.lab_to_lch, spaces.lch_to_lab, spaces.lab_to_srgb)
    ),
    *((f, (_LAB / 100,)) for f in (spaces.xyz_to_srgb, spaces.srgb_to_xyz, spaces.srgb_to_lab)),
    (spaces.in_srgb_gamut, (_LAB,)),
    (spaces.encode_srgb, (_LAB[..., 0] / 100,)),
    (spaces.decode_srgb, (_LAB[..., 0] / 100,)),
    (difference.delta_e_1976, (_LAB, _LAB[0, 0])),
    (difference.delta_e_2000, (_LAB[0, 0], _LAB)),
    (difference.lightness_apart, (_LAB, _LAB)),
    (harmony.two_colour_harmony, (_LAB, _LAB)),
    (adaptation.adapt, (_LAB, _WHITE, _WHITE)),
    (munsell.munsell, (_LAB,)),
    (munsell.luminance, (_LAB[..., 0] / 10,)),
    (real_surfaces.is_real_surface, (_LAB, real_surfaces.POINTER)),
    (real_surfaces.most_chroma, (_LAB[..., 0], _LAB[..., 1], real_surfaces.POINTER)),
    (reflectance.resample, (_SPECTRA, illuminants.WAVELENGTHS_NM)),
    (reflectance.reflectance_to_xyz, (_SPECTRA, *_D65)),
    (reflectance.reflectance_to_lab, (_SPECTRA, *_D65)),
    (reflectance.recover_reflectance, (_LAB, *_D65)),
    (typology.individual_typology_angle, (_LAB,)),
)


# Each letter of a shape is a number of its own here: classes, axes, shapes of utility, styles, ideal points, stimuli or
# representatives, pairs, questions, answers.
LENGTHS = {"k": 2, "d": 3, "h": 6, "s": 4, "n": 27, "m": 5, "p": 7, "q": 8, "a": 9, "...": (2, 4)}
_LATTICE = lattice.Lattice(lattice.LatticeBox((-2.0,) * 3, (2.0,) * 3, nodes=3), np.zeros((1, 3)))
_POSTERIOR = posterior.Posterior.of(_LATTICE)
_CLASSES = np.array([_LATTICE.ideals[:, 0] > 0.1, _LATTICE.ideals[:, 0] <= 0.1], dtype=float)
_STIMULI = np.linspace((-1.0, 0.5, 0.0), (1.0, 0.0, 1.0), 5)
_UTILITIES = utility.utilities(_LATTICE.shapes, _STIMULI, _LATTICE.ideals)
_STAND_INS = planning.Representatives(
    *(np.arange(5), np.arange(5), np.ones(5), np.ones(5), np.ones(5, dtype=int), np.full((2, 5), 0.1))
)
_OF_STAND_INS = np.linspace(-1, 0, 15).reshape(3, 5)
_PAIRS = np.array([(0, 1), (0, 2), (1, 2), (0, 1), (1, 0), (2, 0), (2, 1)])
_MOMENTS = planning.ClassMoments.of(_OF_STAND_INS, _STAND_INS.classes)
_ANSWERS = likelihood.Responses()
_NORMAL = (_LATTICE.sigmas, _LATTICE.cut_scales)
COUNTED = (
    (utility.utilities, (_LATTICE.shapes, _STIMULI, _LATTICE.ideals)),
    (utility.DEFAULT_SHAPES[0].utility, (_STIMULI, _LATTICE.ideals)),
    (lattice.cell_membership, (_LATTICE.ideals, np.eye(3)[:2], np.ones(3))),
    (lattice.side_membership, (_LATTICE.ideals[:, 0], np.array([-1.0, 1.0]), np.ones(27))),
    (likelihood.log_grade, (_UTILITIES[:, 0], *_NORMAL, likelihood.Grade.EQUAL, _ANSWERS)),
    (likelihood.log_ranking, (_UTILITIES.swapaxes(0, 1), ((0, 2), (1,), (3, 4)), _LATTICE.sigmas, _ANSWERS)),
    (likelihood.winner_probabilities, (np.zeros((8, 5)), np.ones(5), _ANSWERS)),
    (_POSTERIOR.masses, (_CLASSES,)),
    (planning.pair_signal, (_MOMENTS, np.ones(7), _PAIRS)),
    (planning.pair_information, (_MOMENTS, np.ones(7), _PAIRS, _ANSWERS)),
    (planning.exact_pair_information, (_OF_STAND_INS, _STAND_INS, np.ones(7), _PAIRS, _ANSWERS)),
    (planning.expected_shift, (_OF_STAND_INS, _STAND_INS, np.ones(7), _PAIRS, _ANSWERS)),
    (planning.answer_information, (np.full((8, 9, 5), 1 / 9), np.full((2, 5), 0.5))),
)
KEPT = (
    *((_LATTICE, name) for name in ("ideals", "widths", "sigmas", "cut_scales", "log_prior")),
    *((_POSTERIOR, name) for name in ("weights", "of_ideal", "of_style", "mean", "covariance")),
)


def said_to_return(said: str) -> tuple[int, ...]:
    """Return the shape of the result: that under *Returns*, else what is called one, else the first there is."""
    given_back = said.rsplit("Returns\n    -------", maxsplit=1)[-1]
    named = re.search(rf"shape ({SHAPE.pattern})", given_back) or re.search(f"({SHAPE.pattern})", given_back)
    assert named is not None
    return tuple(length for part in named[1].strip("(,)").split(", ") for length in _lengths(part))


def _lengths(part: str) -> tuple[int, ...]:
    name, _, more = part.partition(" + ")
    counted = int(name) if name.isdigit() else LENGTHS[name]
    return counted if isinstance(counted, tuple) else (counted + int(more or 0),)


@pytest.mark.parametrize(("function", "given"), CALLED + COUNTED, ids=lambda one: getattr(one, "__qualname__", ""))
def test_the_shape_that_is_said_is_returned(function, given):
    assert function(*given).shape == said_to_return(function.__doc__)


@pytest.mark.parametrize(("owner", "name"), KEPT, ids=[f"{type(owner).__name__}.{name}" for owner, name in KEPT])
def test_the_shape_that_is_said_is_kept(owner, name):
    assert getattr(owner, name).shape == said_to_return(getattr(type(owner), name).__doc__)
