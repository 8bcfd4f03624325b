"""Sound files of what was measured and kept: card values, phones, printers, faces, and a stock's other files.

For `spoilt_texts.py`, which spoils them and has each read by what the program reads it with.
"""

import json
from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

Reader = Callable[[Path], object]
_REGION = {"lab": [65.0, 12.0, 17.0], "lab_interval_90": [[63.0, 67.0], [11.0, 13.0], [15.0, 19.0]]}
FACE: dict[str, Any] = {
    "accepted": True, "basis": "chart", "illuminant": "D65", "observer": "2",
    "ita_degrees": {"value": 40.0, "interval_90": [30.0, 50.0], "class": "intermediate"},
    "regions": {"cheek_left": _REGION, "cheek_right": _REGION, "forehead": _REGION},
}  # fmt: skip
_STEP = [[3.0, 5.0], [0.5, 1.5], [-1.0, 1.0]]
_SAID = {"delta_lab": [4.0, 1.0, 0.0], "interval_90": _STEP}
_EARLIER = FACE | {"relative": [{"from": "forehead", "to": f"cheek_{side}", **_SAID} for side in ("left", "right")]}
_MOVEMENTS = (
    b"at,drawer,change,why,note\n2026-03-01T10:00:00+00:00,A1,-1,picked,K5\n2026-03-02T10:00:00+00:00,A2,3,bought,\n"
)
_PIECE = {"name": "scarf", "kind": "top", "colour": "navy", "price": 20, "wears": 4}


def measured_files() -> list[tuple[str, str, bytes, Reader]]:
    """Return the name, the ending and the bytes of a sound file of each kind, with what reads it."""
    from tenter.consultation.cloths.tables import read_text  # noqa: PLC0415
    from tenter.consultation.stock.files import parse_movements, parse_snippets  # noqa: PLC0415  # in the child
    from tenter.photo.own_card.values import read_card_values  # noqa: PLC0415
    from tenter.photo.phones.kept import camera_in  # noqa: PLC0415
    from tenter.photo.together.baseline import read_baseline  # noqa: PLC0415
    from tenter.photo.together.compare import colours_at  # noqa: PLC0415
    from tenter.report.printing.print_correction import read_correction  # noqa: PLC0415

    kit = Path(__file__).parents[2] / "src" / "tenter" / "demo_studio" / "drapes.csv"
    return [
        ("values of a card", ".json", _card_values(), read_card_values),
        ("learned phone", ".json", _phone(), lambda path: camera_in(path.read_bytes(), path.name)),
        ("correction of a printer", ".json", _correction(), read_correction),
        ("earlier photograph of a face", ".json", _json(_EARLIER), read_baseline),
        ("face to compare", ".json", _json(FACE), colours_at),
        ("movements of a stock", ".csv", _MOVEMENTS, lambda path: parse_movements(read_text(path))),
        ("snippets from a kit", ".csv", kit.read_bytes(), lambda path: parse_snippets(read_text(path), path.name)),
    ]


def wardrobe_document() -> bytes:
    """Return a wardrobe as objects, which is read by what reads a table of one."""
    return _json([_PIECE])


def _json(document: object) -> bytes:
    return json.dumps(document, indent=1).encode()


def _card_values() -> bytes:
    from tenter.colorimetry.illuminants import WAVELENGTHS_NM  # noqa: PLC0415
    from tenter.colorimetry.measurement import D65_2  # noqa: PLC0415
    from tenter.colorimetry.reflectance import reflectance_to_xyz  # noqa: PLC0415
    from tenter.photo.own_card.layout import CARD_PATCHES  # noqa: PLC0415
    from tenter.photo.own_card.values import OwnCardValues  # noqa: PLC0415

    reflectances = np.tile(np.linspace(0.1, 0.8, len(CARD_PATCHES))[:, None], len(WAVELENGTHS_NM))
    xyz = reflectance_to_xyz(reflectances, D65_2.illuminant, D65_2.observer)
    half = np.full((len(CARD_PATCHES), 3), 1.5)
    values = OwnCardValues(7, date(2026, 3, 1), xyz, half, reflectances, "classic24", 1.2, 2)
    return _json(values.to_json())


def _phone() -> bytes:
    from tenter.photo.camera.tone_prior import TonePrior  # noqa: PLC0415
    from tenter.photo.card.learned_camera import LearnedCamera  # noqa: PLC0415
    from tenter.photo.phones.kept import camera_json  # noqa: PLC0415

    tone, alone = TonePrior((0.3, -0.2, 0.5), (0.1, 0.1, 0.2)), TonePrior((0.3, -0.2), (0.1, 0.1))
    return _json(camera_json(LearnedCamera("my-phone", date(2026, 3, 1), 4, tone, alone)))


def _correction() -> bytes:
    from tenter.colorimetry.spaces import srgb_to_lab  # noqa: PLC0415
    from tenter.photo.print_test.layout import sent_codes  # noqa: PLC0415
    from tenter.report.printing.print_correction import correction_document, fitted  # noqa: PLC0415

    printed = srgb_to_lab(sent_codes()) * (0.9, 0.85, 0.85) + (4.0, 0.0, 3.0)
    return _json(correction_document(fitted(sent_codes(), printed)))
