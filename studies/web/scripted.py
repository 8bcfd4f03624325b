"""Scripted sittings at a live studio: what the bench page sends, and what is on the disk afterwards."""

import secrets
import sqlite3
import threading
import time
from dataclasses import dataclass, field
from typing import Any

import numpy as np

from studies.web.live_studio import LiveStudio, Unreachable, Visitor

_TRIES = 40
_KILL_WITHIN = 0.5  # seconds from the first entry
_LOOKS_AHEAD = 0.4  # seconds after an entry, as in `bench.js`


@dataclass
class Script:
    """One sitting, answered without thought. `acknowledged` holds the key of every entry that the server confirmed."""

    visitor: Visitor
    sitting: int
    rng: np.random.Generator
    acknowledged: list[str] = field(default_factory=list)
    seconds: list[float] = field(default_factory=list)

    def state(self) -> dict[str, Any]:
        status, document = self.visitor.get_json(f"/sittings/{self.sitting}/bench/state")
        if status != 200:
            raise RuntimeError(f"the bench answered {status}: {document}")
        return document

    def answer(self, now: dict[str, Any], key: str) -> dict[str, Any]:
        """Send one answer to the cloths that a state shows and return the next state."""
        cloths = [cloth["id"] for cloth in now["cloths"]]
        fields = {"act": "record", "key": key, "kind": "pair", "cloths": " ".join(cloths), "seen": str(now["event"])}
        fields |= {"answer": str(self.rng.choice([*cloths, "nothing-seen"])), "strength": "1"}
        started = time.perf_counter()
        status, document = self.visitor.post_json(f"/sittings/{self.sitting}/bench/entry", fields)
        self.seconds.append(time.perf_counter() - started)
        if status != 200 or not document.get("saved"):
            raise RuntimeError(f"an entry was answered by {status}: {document.get('problem', document)}")
        self.acknowledged.append(key)
        return document

    def run(self, entries: int, every: float = 0.0) -> "Script":
        """Answer so many times, one after the other or every so many seconds."""
        now = self.state()
        due = time.monotonic() + float(self.rng.uniform(0, every))
        for _ in range(entries):
            time.sleep(max(0.0, due - time.monotonic()))
            now = self.answer(now, secrets.token_hex(16))
            due += every
            if every:  # as the page does at the pace of hands
                time.sleep(_LOOKS_AHEAD)
                self.visitor.get_json(f"/sittings/{self.sitting}/bench/ahead")
        return self


def under_fire(studio: LiveStudio, script: Script, entries: int) -> Script:
    """Run a sitting while the server is killed once at a random moment; unconfirmed entries are sent again."""
    now = script.state()
    killer = threading.Timer(float(script.rng.uniform(0, _KILL_WITHIN)), studio.kill)
    killer.start()
    while len(script.acknowledged) < entries or killer.is_alive():
        key = secrets.token_hex(16)
        now = _until_confirmed(studio, script, now, key, killer)
    killer.join()
    if not studio.is_running:
        studio.start()
    return script


def _until_confirmed(
    studio: LiveStudio, script: Script, now: dict[str, Any], key: str, killer: threading.Timer
) -> dict[str, Any]:
    for _ in range(_TRIES):
        try:
            return script.answer(now, key)
        except Unreachable:
            killer.join()
            if not studio.is_running:
                studio.start()
    raise RuntimeError("the server never came back")


def stored_keys(studio: LiveStudio, sitting: int) -> list[str]:
    """Return the keys of a sitting's events as they are on the disk, in order."""
    database = studio.folder / "data" / "tenter.sqlite3"
    with sqlite3.connect(f"file:{database}?mode=ro", uri=True) as rows:
        found = rows.execute(
            "SELECT key, number FROM tenter_sittingevent WHERE sitting_id = ? ORDER BY number", (sitting,)
        ).fetchall()
    if [number for _, number in found] != list(range(1, len(found) + 1)):
        raise RuntimeError(f"the events of sitting {sitting} are not numbered one by one")
    return [key for key, _ in found]


def lost_and_doubled(studio: LiveStudio, script: Script) -> tuple[int, int]:
    """Return how many confirmed entries are missing on the disk, and how many entries stand there beyond them."""
    stored = stored_keys(studio, script.sitting)
    lost = sum(key not in stored for key in script.acknowledged)
    return lost, len(stored) - len(script.acknowledged) + lost
