"""Photographs of cloths for tests: composed racks whose colours are known, put in as hands would."""

import io
from functools import cache
from typing import Any

import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client as Browser
from PIL import Image

from studies.photo.card_faults import shaded
from studies.scenes.cloth_scene import CARD_PX, Drapery, Room, cloth_reflectances, cloth_scene, true_lab
from studies.scenes.exposure import Shot, expose
from tenter.arrays import FloatArray
from tenter.web.models import ClothPhotograph
from tests.support.photo_studio import day_ahead

ROWS, COLUMNS, EMPTY = 2, 3, "r2c2"
PLACES = [f"r{r}c{c}" for r in range(1, ROWS + 1) for c in range(1, COLUMNS + 1)]
REFLECTANCES = dict(zip(PLACES, cloth_reflectances()[[45, 48, 52, 60, 71, 66]], strict=True))
_RACK = {"shows": "rack", "rows": "2", "columns": "3", "first": "D001", "order": "rows"}
_CARD = {"chart": "classic24", "values": "mean-of-30"}


@cache
def rack_picture() -> bytes:
    """Two rows of three cloths beside a card, the place in the middle below empty."""
    places = {key: (380 + 165 * (k % COLUMNS), 60 + 310 * (k // COLUMNS), 135, 250) for k, key in enumerate(PLACES)}
    cloths = [Drapery(box, REFLECTANCES[key], 2, 12.0) for key, box in places.items() if key != EMPTY]
    return expose(cloth_scene(cloths, Room(gradient=(0.1, -0.1)), seed=3), "D65", "nikon", Shot(seed=6)).jpeg()


@cache
def shaded_rack_picture() -> bytes:
    """The rack, with a shadow on half of its card."""
    rgb = np.array(Image.open(io.BytesIO(rack_picture())).convert("RGB"))
    corner, (width, height) = np.array([30.0, 30.0]), CARD_PX
    box = corner + np.array([[0, 0], [width, 0], [width, height], [0, height]])
    out = io.BytesIO()
    Image.fromarray(shaded(rgb, box, (0.5, -0.1, 1.05, 1.1), 0.7)).save(out, "PNG")
    return out.getvalue()


@cache
def print_picture() -> bytes:
    """One printed cloth of two colours beside a card."""
    both = np.array([REFLECTANCES["r1c1"], REFLECTANCES["r2c3"]])
    cloth = Drapery((420, 60, 380, 560), both, areas=(0.7, 0.3))
    return expose(cloth_scene([cloth]), "D65", "nikon", Shot(seed=6)).jpeg()


def truth(place: str) -> FloatArray:
    """Return what an instrument would read of the cloth in a place: Lab, D65/2°."""
    return true_lab(REFLECTANCES[place])


def send(browser: Browser, content: bytes, **said: Any) -> Any:
    """Send a photograph by the page's form."""
    file = SimpleUploadedFile("rack.jpg", content, "image/jpeg")
    fields = _RACK | _CARD | {"deletes_on": day_ahead()} | said
    return browser.post("/kit/cloths", {k: v for k, v in fields.items() if v is not None} | {"picture": file})


def sent(browser: Browser, content: bytes | None = None, **said: Any) -> ClothPhotograph:
    """Send a photograph, of the rack unless another is given, and return its row."""
    answer = send(browser, rack_picture() if content is None else content, **said)
    assert answer.status_code == 302, dict(answer.context["form"].errors)
    return ClothPhotograph.objects.get(pk=answer["Location"].rsplit("/", 1)[1])
