"""A studio of many invented sittings, and what its backup costs: one step a process, in the data folder that is set."""

import argparse
import json
from time import process_time
from typing import Any

import numpy as np

from studies.verdict.speed import peak_mb

_PHOTOGRAPH_BYTES = 4_000_000
_ENTRIES = (12, 37)
_AT_ONCE = 200  # sittings


def make(sittings: int, photographs: int, seed: int) -> dict[str, float]:
    """Fill an empty studio."""
    from django.contrib.auth import get_user_model

    from tenter.web.models import Client, KitRecord, Photograph, SittingEvent
    from tenter.web.studio.demo import load_demo_studio

    owner = get_user_model().objects.create_user("Ada Bench", is_superuser=True)
    load_demo_studio(owner)
    kit, rng = KitRecord.objects.get(), np.random.default_rng(seed)
    payloads = list(SittingEvent.objects.filter(kind="recorded").values_list("payload", flat=True))
    client = Client.objects.create(owner=owner, name="Invented")
    for start in range(0, sittings, _AT_ONCE):
        _add(client, kit, payloads, rng, min(_AT_ONCE, sittings - start))
    for _ in range(photographs):
        _add_photograph(Photograph.objects.create(client=client, by=owner, chart="none", state="done"), rng)
    return {"entries": SittingEvent.objects.count()}


def _add(client: Any, kit: Any, payloads: list[Any], rng: np.random.Generator, count: int) -> None:
    from tenter.web.models import Sitting, SittingEvent

    rows = Sitting.objects.bulk_create(
        Sitting(client=client, analyst=client.owner, kit=kit, method="four-by-three", seed=int(rng.integers(2**31)))
        for _ in range(count)
    )
    SittingEvent.objects.bulk_create(
        SittingEvent(sitting=row, number=number, kind="recorded", payload=payloads[place], key=f"{number}")
        for row in rows
        for number, place in enumerate(rng.choice(len(payloads), int(rng.integers(*_ENTRIES)), replace=False), start=1)
    )


def _add_photograph(row: Any, rng: np.random.Generator) -> None:
    from tenter.web.pictures import pictures

    pictures.put(row.name, rng.bytes(_PHOTOGRAPH_BYTES))


def cost() -> dict[str, float]:
    """Back everything up, and check the backup."""
    from tenter.web.backups.backup import write_backup
    from tenter.web.backups.checking import check_backup
    from tenter.web.server.data_dir import data_dir

    place = data_dir() / "bench.zip"
    place.unlink(missing_ok=True)
    backup = write_backup(place)
    written = process_time()
    found = check_backup(backup)
    return {
        "written_s": written,
        "cpu_s": process_time(),
        "peak_mb": peak_mb(),
        "size_mb": place.stat().st_size / 1e6,
        "sittings": found.sittings,
        "compared": found.compared,
        "photographs": len(backup.photographs),
    }


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("step", choices=("make", "cost"))
    for name in ("sittings", "photographs", "seed"):
        parser.add_argument(name, type=int)
    said = parser.parse_args()
    from tenter.web.serve import bring_up_to_date

    bring_up_to_date()
    found = make(said.sittings, said.photographs, said.seed) if said.step == "make" else cost()
    print(json.dumps(found))


if __name__ == "__main__":
    main()
