"""The face finder is set up by the same letters whatever language the machine speaks."""

import locale
from types import SimpleNamespace

import pytest

from tenter.photo.files.native import plain_letters
from tenter.photo.regions import landmarks


def letters():
    return locale.setlocale(locale.LC_CTYPE)


# Seen with LANG=tr_TR.UTF-8: mediapipe makes "InferenceCalculator" small, keeps the I, and refuses its own graph.
def test_the_finder_is_set_up_by_plain_letters(monkeypatch):
    seen = []

    def model(**_):
        seen.append(letters())
        return object()

    parts = SimpleNamespace(
        face_detection=SimpleNamespace(FaceDetection=model), face_mesh=SimpleNamespace(FaceMesh=model)
    )
    monkeypatch.setattr(landmarks, "_mediapipe", lambda: SimpleNamespace(solutions=parts))
    before = letters()
    landmarks._detector.__wrapped__()
    landmarks._mesh.__wrapped__()
    assert seen == ["C", "C"]
    assert letters() == before


def test_the_users_letters_come_back_after_an_error():
    before = letters()

    @plain_letters()
    def broken():
        assert letters() == "C"
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        broken()
    assert letters() == before
