"""Photographs for tests: rendered portraits, put in as hands would."""

import io
import json
from datetime import timedelta
from pathlib import Path
from typing import Any

import numpy as np
from django.core.files.uploadedfile import SimpleUploadedFile
from django.test import Client as Browser
from django.utils import timezone
from PIL import Image

from studies.photo.card_faults import shaded as in_shade
from tenter.web.models import Client, Photograph

PORTRAITS = Path(__file__).parents[1] / "data" / "rendered_portraits"
CARD = {"chart": "classic24", "values": "mean-of-30"}


def portrait(name: str = "p1a.jpg") -> bytes:
    return (PORTRAITS / name).read_bytes()


def send(browser: Browser, client: Client, content: bytes, name: str = "portrait.jpg", **said: Any) -> Any:
    """Send a photograph by the page's form."""
    file = SimpleUploadedFile(name, content, "image/jpeg")
    fields = {key: value for key, value in (CARD | said).items() if value is not None}
    return browser.post(f"/people/{client.pk}/photographs", fields | {"picture": file})


def day_ahead(days: int = 60) -> str:
    return (timezone.localdate() + timedelta(days=days)).isoformat()


def sent(
    browser: Browser, client: Client, name: str = "p1a.jpg", *, only: tuple[str, ...] = (), **said: Any
) -> Photograph:
    """Send a portrait and return its row. only: for what it alone was agreed, as before consents were on the card."""
    answer = send(browser, client, portrait(name), **said)
    assert answer.status_code == 302, dict(answer.context["form"].errors)
    row = Photograph.objects.get(pk=answer["Location"].rsplit("/", 1)[1])
    if only:
        row.purposes = list(only)
        row.save()
    return row


def cut(name: str) -> bytes:
    """Return a portrait without the side on which its card is."""
    picture = Image.open(io.BytesIO(portrait(name)))
    out = io.BytesIO()
    picture.crop((0, 0, int(picture.width * 0.6), picture.height)).save(out, "JPEG", quality=95)
    return out.getvalue()


SEVERAL = ((400, 240, 500, 360), (460, 420, 580, 560))  # greys of which none is the one
AT_THE_BORDER = ((440, 260, 640, 480),)  # a grey that has no edge all around


def beside_greys(*boxes: tuple[int, int, int, int]) -> bytes:
    """The portrait without its card, and with grey surfaces: left, top, right, bottom."""
    rgb = np.array(Image.open(io.BytesIO(portrait())))
    rgb[180:600, 380:] = (157, 158, 157)
    rng = np.random.default_rng(3)
    for left, top, right, bottom in boxes:
        rgb[top:bottom, left:right] = (106, 107, 106)
    rgb[180:600, 380:] = np.clip(rgb[180:600, 380:] + rng.normal(0, 1, (420, 260, 1)), 0, 255)
    out = io.BytesIO()
    Image.fromarray(rgb).save(out, "JPEG", quality=96, subsampling=0)
    return out.getvalue()


def shaded(part: float = 0.7, top: float = 0.5) -> bytes:
    """The portrait with a shadow that lets a part of the light through on its card, from `top` of the card downward."""
    images = json.loads((PORTRAITS / "truth.json").read_text(encoding="utf-8"))["images"]
    [corners] = [np.array(image["card"]["corners_px"]) for image in images if image["file"] == "p1a.jpg"]
    (left, upper), (right, lower) = corners.min(axis=0), corners.max(axis=0)
    box = np.array([[left, upper], [right, upper], [right, lower], [left, lower]])
    rgb = np.array(Image.open(io.BytesIO(portrait())).convert("RGB"))
    out = io.BytesIO()
    Image.fromarray(in_shade(rgb, box, (-0.1, top, 1.1, 1.2), part)).save(out, "PNG")
    return out.getvalue()
