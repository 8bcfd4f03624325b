"""Programs killed by SIGKILL at random moments, and what is on the disk afterwards. For `bench_breaks.py`.

Each way of working gets a data folder of its own. What was confirmed before a kill must be there after it, once.
"""

import os
import random
import shutil
import sqlite3
import subprocess
import sys
import time
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from studies.web.live_studio import LiveStudio, Visitor
from studies.web.scripted import Script, lost_and_doubled, under_fire

ROOT = Path(__file__).parents[2]
_MIGRATE = ("migrate", "--verbosity", "0")
_ENTRIES = 6  # of a sitting that is under fire
_TABLES = ("tenter_client", "tenter_sitting", "tenter_sittingevent", "tenter_kitrecord", "tenter_photograph")


@dataclass
class Killed:
    """What came of a number of kills."""

    what: str
    kills: int = 0
    confirmed: int = 0
    lost: int = 0
    doubled: int = 0

    def __str__(self) -> str:
        told = f"{self.kills} kills, {self.confirmed} confirmed, {self.lost} lost, {self.doubled} doubled"
        return f"{self.what:14s} {told}"


def entries(folder: Path, kills: int, seed: int) -> Killed:
    """Kill the server while entries are sent to it."""
    found = Killed("entries")
    studio = LiveStudio(folder).start()
    Visitor(studio).open_studio()
    for number in range(kills):
        visitor = Visitor(studio)
        visitor.log_in()
        rng = np.random.default_rng([seed, number])
        script = under_fire(studio, Script(visitor, visitor.start_sitting(), rng), _ENTRIES)
        lost, doubled = lost_and_doubled(studio, script)
        found.kills, found.confirmed = found.kills + 1, found.confirmed + len(script.acknowledged)
        found.lost, found.doubled = found.lost + lost, found.doubled + doubled
    studio.stop()
    return found


def photographs(folder: Path, kills: int, seed: int) -> Killed:
    """Kill a process that sends photographs; then open each that was confirmed."""
    found, chance, data = Killed("photographs"), random.Random(seed), folder / "data"
    _command(data, "fill")
    confirmed: list[str] = []
    for _ in range(kills):
        child = _start(data, "photographs")
        assert child.stdout is not None
        confirmed.append(child.stdout.readline().strip())
        time.sleep(chance.uniform(0, 1))
        child.kill()
        confirmed += child.stdout.read().split()
        child.wait()
        found.kills += 1
    opened = _command(data, "open").split()
    found.confirmed = len(confirmed)
    found.lost = len(set(confirmed) - set(opened))
    found.doubled = len(opened) - len(set(opened)) + max(0, len(opened) - len(set(confirmed)) - kills)
    return found


def backups(folder: Path, kills: int, seed: int) -> Killed:
    """Kill the writing of a backup: what is there under its name must be whole, or be refused in words."""
    data, files = folder / "data", folder / "backups"
    _command(data, "fill")
    files.mkdir()
    before, found = _counts(data), Killed("backup")
    for number, _ in enumerate(_killed(data, kills, seed, lambda n: ["backup", str(files / f"{n}.zip")])):
        file = files / f"{number}.zip"
        found.kills += 1
        if file.exists():
            found.confirmed += _command(data, "read", str(file)) == "whole"
    found.lost += _counts(data) != before
    return found


def restores(folder: Path, kills: int, seed: int) -> Killed:
    """Kill a restore: the studio must hold what it held before, or what the backup holds, and nothing between."""
    data, file, found = folder / "data", folder / "all.zip", Killed("restore")
    _command(data, "fill")
    _command(data, "backup", str(file))
    restored = _counts(data)
    _command(data, "more")
    whole, kept = _counts(data), folder / "kept"
    shutil.copytree(data, kept)
    for _ in _killed(data, kills, seed, lambda _n: ["restore", str(file), "--replace"]):
        now = _counts(data)
        found.kills, found.confirmed = found.kills + 1, found.confirmed + (now == restored)
        found.lost += now not in (whole, restored)
        found.doubled += any(number > most for number, most in zip(now, whole, strict=True))
        shutil.rmtree(data)
        shutil.copytree(kept, data)
    return found


def migrations(folder: Path, kills: int, seed: int) -> Killed:
    """Kill the making of a new studio's tables; the next start must bring it to its end, and a studio is laid in."""
    found, data = Killed("migration"), folder / "data"
    for _ in _killed(data, kills, seed, lambda _n: list(_MIGRATE)):
        found.kills += 1
        _command(data, "fill")
        found.confirmed += 1
        found.lost += _counts(data)[:2] != (5, 5)
        shutil.rmtree(data)
    return found


def changes_of_tables(folder: Path, kills: int, seed: int) -> Killed:
    """Kill the change of a full studio's tables; the next start must end it as if nothing had happened."""
    found, data, kept, whole = Killed("tables changed"), folder / "data", folder / "kept", folder / "whole"
    _command(data, "earlier")
    shutil.copytree(data, kept)
    shutil.copytree(data, whole)
    _command(whole, *_MIGRATE)
    wanted = _rows(whole)
    for _ in _killed(data, kills, seed, lambda _n: list(_MIGRATE)):
        _command(data, *_MIGRATE)
        now = _rows(data)
        found.kills, found.confirmed = found.kills + 1, found.confirmed + sum(wanted.values())
        found.lost += sum((wanted - now).values()) + int(_command(data, "fit"))
        found.doubled += sum((now - wanted).values())
        shutil.rmtree(data)
        shutil.copytree(kept, data)
    return found


def _rows(data: Path) -> Counter[str]:
    """Return every row of the studio's tables as text, its numbers included, and how often it is there."""
    found: Counter[str] = Counter()
    rows = sqlite3.connect(data / "tenter.sqlite3")
    try:
        names = rows.execute("SELECT name FROM sqlite_master WHERE type = 'table' AND name LIKE 'tenter%'").fetchall()
        for (name,) in names:
            found.update(f"{name} {row}" for row in rows.execute(f"SELECT * FROM {name}"))
    finally:
        rows.close()
    return found


def _killed(data: Path, kills: int, seed: int, command: object) -> Iterator[None]:
    """Kill a command as often, at moments spread over the time that it takes when left alone."""
    chance, longest = random.Random(seed), _seconds_alone(data, command(-1))  # type: ignore[operator]
    for number in range(kills):
        child = _start(data, *command(number))  # type: ignore[operator]
        time.sleep(chance.uniform(0.3, 1.0) * longest)
        child.kill()
        child.wait()
        yield


def _seconds_alone(data: Path, command: list[str]) -> float:
    """Return how long a command takes on a copy of the data."""
    copy = data.parent / "copy"
    if data.exists():
        shutil.copytree(data, copy)
    began = time.monotonic()
    _command(copy, *command)
    took = time.monotonic() - began
    shutil.rmtree(copy)
    return took


def _environment(data: Path) -> dict[str, str]:
    given = {"TENTER_DATA_DIR": str(data), "DJANGO_SETTINGS_MODULE": "tenter.web.settings", "OMP_NUM_THREADS": "1"}
    given |= {"TENTER_PHOTO_PASSPHRASE": "linen on the line"}
    return {name: value for name, value in os.environ.items() if name != "DATABASE_URL"} | given


def _start(data: Path, *command: str) -> "subprocess.Popen[str]":
    return subprocess.Popen(
        [sys.executable, "-m", "studies.breaks.kill_work", *command],
        cwd=ROOT, env=_environment(data), stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True,
    )  # fmt: skip


def _command(data: Path, *command: str) -> str:
    done = subprocess.run(
        [sys.executable, "-m", "studies.breaks.kill_work", *command],
        cwd=ROOT, env=_environment(data), capture_output=True, text=True, check=False,
    )  # fmt: skip
    if done.returncode:
        raise RuntimeError(f"{command} ended with {done.returncode}: {done.stderr[-1500:]}")
    return done.stdout.strip()


def _counts(data: Path) -> tuple[int, ...]:
    """Return how many rows there are of what a studio holds, as the database has them once it is opened."""
    rows = sqlite3.connect(data / "tenter.sqlite3")
    try:
        return tuple(int(rows.execute(f"SELECT count(*) FROM {table}").fetchone()[0]) for table in _TABLES)
    finally:
        rows.close()
