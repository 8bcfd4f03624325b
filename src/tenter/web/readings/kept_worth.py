"""What is worth buying for a kit, and its best few cloths: worked out in the background, and kept beside the rows.

It takes seconds. What is kept belongs to a kit with the colours of one day and to one version of Tenter; where it is
lost it is worked out again, so that no backup holds it.
"""

import hashlib
import json
import time
from collections.abc import Callable, Mapping
from contextlib import suppress
from dataclasses import asdict, dataclass
from importlib.metadata import version
from pathlib import Path
from typing import Any

from django.utils.translation import gettext as _

from tenter import TenterError, durable
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.conventions.bundled import DEFAULT_METHOD
from tenter.consultation.laid_out.bench import Bench, bench_of
from tenter.consultation.laid_out.coverage import Gap
from tenter.consultation.readings.kit_on_day import kit_file_on_day
from tenter.consultation.worth.best_kit import BestKit, best_kit
from tenter.consultation.worth.gain import Gain
from tenter.consultation.worth.shopping import GapGain, KitWorth, ToBuy, kit_worth
from tenter.web.models import KitRecord
from tenter.web.pictures.queue import queue
from tenter.web.server.data_dir import data_dir
from tenter.web.store import kept_readings, store

_FOLDER = "kit-worth"
_FORM = "2"  # of what is kept: the first had words where the second has traits
_MOST_KEPT = 60  # files: each is of a few thousand bytes, and of a kit that may have changed since
_GIVEN_UP_AFTER = 300.0  # seconds: then it may be asked for again, as a restart forgets what waits


@dataclass(frozen=True, slots=True)
class KeptWorth:
    """What is known of a kit today. worth, best: None until worked out. problem: why it could not be."""

    worth: KitWorth | None
    best: BestKit | None
    waits: bool
    problem: str = ""


def bench_today(record: KitRecord) -> Bench:
    """Return a kit that came in as it is today, laid out by the method that kits are counted by."""
    return bench_of(kept_readings.kit_today(record).kit, store.method_named(DEFAULT_METHOD))


def kept_worth(record: KitRecord, count: int) -> KeptWorth:
    """Return what was worked out for a kit as it is today, and for the best kit of a count of its cloths."""
    seal = _seal(record)
    worth, best, waits = _read(f"{seal}.json"), _read(f"{seal}-{count}.json"), _place(f"{seal}-{count}.asked")
    problem = next((_problem(one) for one in (worth, best) if one and "problem" in one), "")
    done = bool(worth and best)
    return KeptWorth(
        worth=_worth_from(worth) if worth and not problem else None,
        best=_best_from(best) if best and not problem else None,
        waits=not done and waits.exists() and time.time() - waits.stat().st_mtime < _GIVEN_UP_AFTER,
        problem=problem,
    )


def _problem(found: Mapping[str, Any]) -> str:
    """Return why nothing was found: in its own words, or, where nobody foresaw it, by the name of the error."""
    if found["problem"]:
        return str(found["problem"])
    return _("the kit could not be tried (%(error)s)") % {"error": found.get("of", "")}


def ask_for_worth(record: KitRecord, count: int) -> None:
    """Have it worked out in the background, unless that is under way."""
    if not kept_worth(record, count).waits:
        durable.write(_place(f"{_seal(record)}-{count}.asked"), b"")
        work_out(record.pk, count)


@queue.task()
def work_out(pk: int, count: int) -> None:
    """Work out what is worth buying for a kit, and its best kit of a count of cloths."""
    record = KitRecord.objects.filter(pk=pk).first()
    if record is None:
        return
    seal, bench = _seal(record), bench_today(record)
    try:
        _keep(f"{seal}.json", lambda: kit_worth(bench))
        _keep(f"{seal}-{count}.json", lambda: best_kit(bench, count))
    finally:
        _place(f"{seal}-{count}.asked").unlink(missing_ok=True)
    _forget_old()


def _keep(name: str, find: Callable[[], KitWorth | BestKit]) -> None:
    """Keep what is found, or why nothing is, unless it is known."""
    known = _read(name)
    if known is not None and "problem" not in known:
        return
    try:
        found = asdict(find())
    except Exception as error:
        why = {"problem": str(error)} if isinstance(error, TenterError) else {"problem": "", "of": type(error).__name__}
        durable.write(_place(name), json.dumps(why).encode())
        raise
    durable.write(_place(name), json.dumps(found).encode())


def _seal(record: KitRecord) -> str:
    """Return what tells a kit as it is today, and the Tenter that looks at it, from every other."""
    today = kept_readings.kit_today(record)
    text = kit_file_on_day(record.csv, today) if today.taken else record.csv
    return hashlib.sha256("\0".join([version("tenter"), _FORM, DEFAULT_METHOD, text]).encode()).hexdigest()[:32]


def _place(name: str) -> Path:
    folder = data_dir() / _FOLDER
    folder.mkdir(mode=durable.PRIVATE_FOLDER, exist_ok=True)
    return folder / name


def _read(name: str) -> dict[str, Any] | None:
    """Return what a file says; None where there is none, or it is damaged."""
    with suppress(FileNotFoundError, ValueError):
        found = json.loads(_place(name).read_bytes())
        return found if isinstance(found, dict) else None
    return None


def _forget_old() -> None:
    files = sorted(_place("").iterdir(), key=lambda path: path.stat().st_mtime, reverse=True)
    for path in files[_MOST_KEPT:]:
        path.unlink(missing_ok=True)


# -- plain values back into objects ------------------------------------------------------------------------------------


def _worth_from(plain: Mapping[str, Any]) -> KitWorth:
    return KitWorth(
        plain["nats"],
        tuple(GapGain(Gap(**_colour(one["gap"])), Gain(**one["gain"])) for one in plain["gaps"]),
        tuple(ToBuy(**_colour(one) | {"gain": Gain(**one["gain"])}) for one in plain["to_buy"]),
    )


def _colour(plain: Mapping[str, Any]) -> dict[str, Any]:
    lab, traits = tuple(plain["lab"]), tuple(plain["traits"])
    return {**plain, "lab": lab, "traits": traits, "hue_family": HueFamily(plain["hue_family"])}


def _best_from(plain: Mapping[str, Any]) -> BestKit:
    return BestKit(**{**plain, "cloths": tuple(plain["cloths"])})
