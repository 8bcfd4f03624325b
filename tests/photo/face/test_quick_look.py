"""A first look says what a photograph will be refused for, before anything of it is measured."""

import cv2
import numpy as np
import pytest

from tenter.photo.cards import CardChoice
from tenter.photo.face import quick_look as first
from tenter.photo.face.quick_look import QuickLook, quick_look
from tenter.photo.face_light import same_light
from tenter.photo.face_light.pose import Facing
from tenter.photo.files.loading import Photo


def looked(rgb):
    return quick_look(Photo(np.ascontiguousarray(rgb)), CardChoice())


def facing(degrees):
    """Return a plane that is turned from the camera by so many degrees, to the right."""
    angle = np.radians(degrees)
    return Facing(np.array([np.sin(angle), 0.0, -np.cos(angle)]))


def test_a_good_photograph_passes(portrait):
    assert looked(portrait.rgb) == QuickLook()


def test_a_cut_card_and_a_blurred_face_are_told(portrait):
    _, _, right, _ = portrait.card_box
    assert "The card leaves the picture" in " ".join(looked(portrait.rgb[:, : right - 30]).faults)
    assert "The face is blurred" in " ".join(looked(cv2.GaussianBlur(portrait.rgb, (0, 0), 5)).faults)


def test_getting_ready_looks_where_there_is_no_face(monkeypatch):
    seen = []
    monkeypatch.setattr(first, "find_face", lambda rgb: seen.append((rgb.ndim, rgb.max())))
    first.get_ready()
    assert seen == [(3, 0)]


@pytest.mark.parametrize(
    ("card", "head", "said"),
    [
        (25, 24, "The phone is held aslant: face and card are seen from the side by 24°"),
        (first.ASLANT - 1, first.ASLANT - 1, ""),
        (30, 20, "The card is turned by 10° against the face"),
        (30, 5, "The card is turned by 25° against the face"),
    ],
)
def test_a_phone_held_aslant_is_told_from_a_card_turned(portrait, monkeypatch, card, head, said):
    for module in (first, same_light):
        monkeypatch.setattr(module, "card_facing", lambda *_: facing(card))
        monkeypatch.setattr(module, "head_facing", lambda *_: facing(head))
    found = looked(portrait.rgb)
    assert " ".join([*found.faults, *found.advice]).startswith(said)
    assert bool(found.faults) == (card - head > same_light.MAX_TILT)
    assert bool(found.advice) == (said != "" and not found.faults)
