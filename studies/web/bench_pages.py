"""How large every page is, and how long the server takes for it, in a full studio: `./run bench pages`.

The demo studio with 2,000 more clients and 10,000 more sittings of 24 answers, 300 of them of one client, and as many
lines in the log. Pages are asked for within one process, so a time holds no network. A page may have 300 kB, as it is
before the server presses it together.
"""

import argparse
import gc
import os
import random
import sys
import tempfile
import time
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import timedelta
from itertools import islice
from pathlib import Path
from typing import Any, NamedTuple

from studies.clients.targets import Target, at_most
from studies.web.every_page import PAGES

MOST_KB = 300.0
MOST_MS = 200.0
_TIMES = 5  # each page is asked for: the first time it may make what it keeps
CLIENTS, SITTINGS, OF_ONE = 2_000, 10_000, 300
_ANSWERS, _AT_ONCE = 24, 5_000  # of each sitting, and rows that are written at once
_OWNER, _HOST = "Wenna Castrall", "127.0.0.1"
_FIRST = ("Ada", "Bea", "Cleo", "Dina", "Edda", "Fenna", "Gesa", "Hanne", "Ina", "Jorun", "Karla", "Lene", "Mara")
_LAST = ("Aldren", "Bergholt", "Cassel", "Dornwald", "Ekstam", "Farnham", "Gellert", "Immen", "Jarrow", "Lindqvist")
# Of a client with many sittings, and of lists that are looked through.
_FURTHER = (
    "/people?page=2",
    "/people?q=ada",
    "/sittings?page=2",
    "/sittings?q=ada",
    "/studio/log?page=2",
    "/people/{busy}",
    "/people/{busy}/photographs",
    "/people/{busy}/sittings/compare",
    "/people/{busy}/wardrobe",
    "/people/{busy}/wishes",
)


class Seen(NamedTuple):
    """A page as it was answered. seconds: the first time; again: the slowest of the times after that."""

    address: str
    status: int
    kilobytes: float
    seconds: float
    again: float


@contextmanager
def studio_in(folder: Path) -> Iterator[Any]:
    """Set up the web app on a data folder of its own; yield the owner of a demo studio there."""
    os.environ |= {"TENTER_DATA_DIR": str(folder), "DJANGO_SETTINGS_MODULE": "tenter.web.settings"}
    import django  # noqa: PLC0415  # once the folder is named

    django.setup()
    from django.contrib.auth import get_user_model  # noqa: PLC0415
    from django.core.management import call_command  # noqa: PLC0415

    from tenter.web.studio.demo import load_demo_studio  # noqa: PLC0415

    call_command("migrate", verbosity=0)
    owner = get_user_model().objects.create_user(_OWNER, password="cloth and daylight")
    load_demo_studio(owner)
    yield owner


def fill(owner: Any, clients: int, sittings: int, of_one: int) -> int:
    """Put clients and sittings into a studio, one client having `of_one`; return that client's number."""
    from django.utils import timezone  # noqa: PLC0415

    from tenter.web.models import AuditEntry, Client, KitRecord, Sitting  # noqa: PLC0415

    chance, now, kit = random.Random(14), timezone.now(), KitRecord.objects.get(owner=owner)
    named = (f"{chance.choice(_FIRST)} {chance.choice(_LAST)} {number}" for number in range(clients))
    rows = Client.objects.bulk_create(Client(owner=owner, name=name, note="Prefers mornings. " * 5) for name in named)
    whose = [rows[0]] * of_one + [chance.choice(rows) for _ in range(sittings - of_one)]
    days = [now - timedelta(days=1 + number // 8, hours=number % 8) for number in range(sittings)]
    Sitting.objects.bulk_create(
        (
            Sitting(
                client=client, analyst=owner, kit=kit, method="four-by-three", seed=7, started=day, ended=day,
                revealed_at=day,
            )
            for client, day in zip(whose, days, strict=True)
        ),
        batch_size=1000,
    )  # fmt: skip
    _answer(Sitting.objects.filter(events=None).values_list("pk", flat=True), chance)
    AuditEntry.objects.bulk_create(
        AuditEntry(user=owner, at=day, action="sitting started", subject=f"{client.name}, sitting")
        for client, day in zip(whose, days, strict=True)
    )
    return int(rows[0].pk)


def _answer(sittings: Iterable[int], chance: random.Random) -> None:
    """Give each sitting answers, drawn from those of the demo studio's own."""
    from tenter.web.models import SittingEvent  # noqa: PLC0415

    known = list(SittingEvent.objects.filter(kind="recorded").values_list("payload", flat=True))
    answered = (
        SittingEvent(sitting_id=pk, number=number, kind="recorded", payload=payload, key=str(number))
        for pk in list(sittings)
        for number, payload in enumerate(chance.sample(known, _ANSWERS), start=1)
    )
    while some := list(islice(answered, _AT_ONCE)):
        SittingEvent.objects.bulk_create(some)


def seen(owner: Any, busy: int) -> list[Seen]:
    """Ask for every page, in a process that has started as the server does, and return how it was answered."""
    gc.collect()
    gc.freeze()
    from django.test import Client as Browser  # noqa: PLC0415

    from tenter.web.models import Client, KitRecord  # noqa: PLC0415
    from tenter.web.store import store  # noqa: PLC0415

    browser = Browser(SERVER_NAME=_HOST)
    browser.force_login(owner)
    started = store.start_sitting(Client.objects.filter(owner=owner).first(), owner, KitRecord.objects.get(owner=owner))
    found = []
    for address in (*PAGES, *_FURTHER):
        place = address.format(running=f"/sittings/{started.pk}", busy=busy)
        first, *others = (asked(browser, place) for _ in range(_TIMES))
        answer, seconds = first
        again = max(took for _, took in others)
        found.append(Seen(place, answer.status_code, len(answer.content) / 1000, seconds, again))
    return found


def asked(browser: Any, place: str) -> tuple[Any, float]:
    """Ask for a page; return the answer, and how many seconds it took."""
    begun = time.perf_counter()
    answer = browser.get(place)
    return answer, time.perf_counter() - begun


def table(found: list[Seen]) -> str:
    """Return how every page was answered, the largest first."""
    rows = sorted(found, key=lambda page: -page.kilobytes)
    return "\n".join(
        f"{p.kilobytes:8.1f} kB  {p.seconds:6.2f} s {p.again:6.2f} s  {p.status}  {p.address}" for p in rows
    )


def targets_of(found: list[Seen], sittings: int) -> list[Target]:
    """Return what the pages are held to."""
    largest = max(found, key=lambda page: page.kilobytes)
    slowest = max(found, key=lambda page: page.again)
    failed = sum(page.status not in (200, 302, 404) for page in found)
    return [
        at_most(f"the largest page with {sittings} sittings, {largest.address}", largest.kilobytes, MOST_KB, "kB"),
        at_most(f"the slowest page asked again, {slowest.address}", 1000 * slowest.again, MOST_MS, "ms"),
        at_most("pages that fail", failed, 0),
    ]


def run(clients: int, sittings: int, of_one: int) -> tuple[str, list[Target]]:
    """Fill a studio, look at its pages, and return the table and what they are held to."""
    with tempfile.TemporaryDirectory() as folder, studio_in(Path(folder)) as owner:
        found = seen(owner, fill(owner, clients, sittings, min(of_one, sittings)))
    return table(found), targets_of(found, sittings)


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n", maxsplit=1)[0])
    parser.add_argument("--clients", type=int, default=CLIENTS)
    parser.add_argument("--sittings", type=int, default=SITTINGS)
    parser.add_argument("--of-one", type=int, default=OF_ONE, help="sittings of one client")
    options = parser.parse_args()
    printed, targets = run(options.clients, options.sittings, options.of_one)
    print(printed)
    for target in targets:
        print(target)
    sys.exit(not all(target.passes for target in targets))
