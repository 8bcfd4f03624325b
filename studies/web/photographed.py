"""What the demo studio has not: a face, cloths, a garment and a series in photographs, snippets, a kit being made."""

import re
import time
from datetime import date, timedelta
from pathlib import Path

from studies.scenes.cloth_scene import Drapery, Room, cloth_reflectances, cloth_scene
from studies.scenes.exposure import Shot, expose
from studies.web.every_page import ENDED
from studies.web.live_studio import Visitor

DATA = Path(__file__).parents[2] / "tests" / "data"
CLIENT = "/people/1"
_CARD = {"chart": "classic24", "values": "mean-of-30"}
_SERIES = {"cloth_a": "D002", "cloth_b": "D001", "pattern": "ABAB", "chart": "classic24"}
_SNIPPET = {"by": "one", "one-illuminant": "D65", "one-observer": "10", "one-reorder_at": "2"}
_CLOTH = {"number": "D001", "name": "Orchard Peach", "given_as": "Lab", "colour": "82 15.7 25.5", "place": "rail A"}
_PATIENCE = 120.0  # seconds, on a machine that has other work too


def photographed_pages(visitor: Visitor) -> list[str]:
    """Lay photographs, snippets and a kit being made into a demo studio, and return the addresses of their pages.

    What is worth buying for the kit has then been worked out, too, and is on its page.
    """
    faces = [_measured(visitor, f"{CLIENT}/photographs", _CARD, [("picture", _face(n))]) for n in ("p1a", "p1b")]
    pair = "&".join(f"photograph={face.rsplit('/', 1)[1]}" for face in faces)
    rack, day = _rack(), (date.today() + timedelta(days=60)).isoformat()
    cloths = {"shows": "rack", "rows": "2", "columns": "3", "first": "D001", "order": "rows", "deletes_on": day}
    series = [("files", (DATA / "series" / name).read_bytes()) for name in ("a1.jpg", "b2.jpg", "a3.jpg", "b4.jpg")]
    _wait_for(visitor, "/kit/1/to-buy")
    at_rack = _measured(visitor, "/kit/cloths", _CARD | cloths, [("picture", rack)])
    return [
        f"{CLIENT}/photographs",
        faces[0],
        f"{faces[0]}?region=jaw_left",
        f"{faces[0]}/drapes?first=D063&second=D064",
        f"{CLIENT}/photographs/together?{pair}",
        _measured(visitor, f"{CLIENT}/series/photographs", _SERIES | {"deletes_on": day}, series),
        "/kit/cloths",
        at_rack,
        f"{at_rack}/kit?kit=1",
        _measured(visitor, f"{ENDED}/garment", _CARD | {"shows": "cloth"}, [("picture", rack)]),
        "/light/1",
        *_stock(visitor),
        _kit_being_made(visitor),
        _told_back(visitor),
    ]


def _face(name: str) -> bytes:
    return (DATA / "rendered_portraits" / f"{name}.jpg").read_bytes()


def _rack() -> bytes:
    places = [(380 + 165 * (k % 3), 60 + 310 * (k // 3), 135, 250) for k in range(6)]
    chosen = cloth_reflectances()[[45, 48, 52, 60, 71, 66]]
    cloths = [Drapery(box, one, 2, 12.0) for box, one in zip(places, chosen, strict=True)]
    return expose(cloth_scene(cloths, Room(), seed=3), "D65", "nikon", Shot(seed=6)).jpeg()


def _measured(visitor: Visitor, path: str, fields: dict[str, str], files: list[tuple[str, bytes]]) -> str:
    """Send pictures and return the address of their page when they have been measured."""
    visitor.get(path)
    status, page = visitor.upload(path, fields, files)
    at = visitor.at.removeprefix(visitor.studio.address)
    if status != 200 or not re.search(r"/\d+$", at):
        raise RuntimeError(f"{path} answered {status}: {re.findall('fault[^>]*>([^<]+)', page)}")
    _wait_for(visitor, at)
    return at


def _wait_for(visitor: Visitor, at: str) -> None:
    deadline = time.monotonic() + _PATIENCE
    while visitor.get_json(f"{at}/state")[1]["waits"]:
        if time.monotonic() > deadline:
            raise RuntimeError(f"{at} is not done")
        time.sleep(0.2)


def _stock(visitor: Visitor) -> list[str]:
    """Give the studio snippets, one of them running out, and return their pages."""
    visitor.get("/stock/add")
    for drawer, name, lab, count in (("A3", "teal card", "50 -22 -9", "4"), ("7", "coral wool", "65 40 30", "1")):
        values = dict(zip(("one-L", "one-a", "one-b"), lab.split(), strict=True))
        visitor.post("/stock/add", _SNIPPET | values | {"one-drawer": drawer, "one-name": name, "one-count": count})
    return ["/stock", "/stock/1", f"{ENDED}/pick"]


def _kit_being_made(visitor: Visitor) -> str:
    visitor.get("/kit/add")
    visitor.post("/kit/start", {"start-name": "Rail one", "start-illuminant": "D65", "start-observer": "10"})
    at = visitor.at.removeprefix(visitor.studio.address)
    visitor.post(at, _CLOTH)
    return at


def _told_back(visitor: Visitor) -> str:
    """Return the client's screen of the sitting that has ended."""
    visitor.get(ENDED)
    visitor.post(f"{ENDED}/screen", {})
    return visitor.at.removeprefix(visitor.studio.address)
