"""The clients of the invented studio."""

import csv
import io
from dataclasses import dataclass
from importlib.resources import files


@dataclass(frozen=True, slots=True)
class DemoClient:
    """A client of the invented studio.

    words_only: their sheet is in words, without colours. portrait: the name of a picture, empty for none. `story_end`
    is what the story was written for, not a truth.
    """

    id: str
    name: str
    minor: bool
    words_only: bool
    portrait: str
    story_end: str


def demo_clients() -> list[DemoClient]:
    """Return the invented studio's clients."""
    text = (files("tenter.demo_studio") / "clients.csv").read_text(encoding="utf-8")
    return [
        DemoClient(
            r["id"], r["name"], r["minor"] == "yes", r["words_only"] == "yes", r["portrait"] or "", r["story_end"]
        )
        for r in csv.DictReader(io.StringIO(text))
    ]
