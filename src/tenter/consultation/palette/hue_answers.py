"""What a client has of each hue family: the best cloth of the kit in their own version, or what to wear instead.

Common practice, no source: most hues have a version for everyone (a teal-blue and a violet-blue), and some have not:
orange has none for cool colouring. Which do, and their names, stand in the method file.
"""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from tenter.arrays import steady
from tenter.consultation.cloths.hue_families import HueFamily
from tenter.consultation.conventions.hue_versions import HueVersion
from tenter.consultation.palette.palette_parts import Fit, PaletteClient, PaletteEntry
from tenter.consultation.palette.wear_role import Role
from tenter.consultation.words.traits import UndertoneSide


@dataclass(frozen=True, slots=True)
class HueAnswer:
    """What a palette has of one hue family.

    entry: the best cloth, None where the kit holds none for the client. version: what the client's version is called.
    instead: what is worn in its place where the family has none for the client; one of the two is empty.
    """

    family: HueFamily
    entry: PaletteEntry | None
    version: str
    instead: str


def hue_answers(client: PaletteClient, entries: Sequence[PaletteEntry]) -> tuple[HueAnswer, ...]:
    """Return what there is of every hue family that the method speaks of; `entries` best first."""
    return tuple(
        HueAnswer(family, _best(client, entries, version), version.named(client.side), version.instead(client.side))
        for family, version in client.method.versions.of.items()
    )


def _best(client: PaletteClient, entries: Sequence[PaletteEntry], version: HueVersion) -> PaletteEntry | None:
    """Return the best cloth of a family: of the client's own version first, then any other of the season."""
    found = [e for e in entries if e.drape.hue_family is version.family and _is_worn(e)]
    sided = [e for e in found if of_side(client, e, version)]
    own = [e for e in found if e.fit in (Fit.BEST, Fit.YES)]
    return next(iter([*sided, *own]), None)


def _is_worn(entry: PaletteEntry) -> bool:
    drape = entry.drape
    return not (drape.is_metal or drape.bench_only or entry.role is Role.LEAVE or entry.in_small_areas)


def of_side(client: PaletteClient, entry: PaletteEntry, version: HueVersion) -> bool:
    """Tell whether a cloth is the client's version of its family: by its place within it, or else by its undertone."""
    lab = client.sitting.kit.bench_colours.lab[client.sitting.kit.row(entry.drape.id)]
    place = version.place(np.asarray(lab))
    at = client.undertone(entry.drape) if place is None else float(place)
    return steady(at) > 0 if client.side is UndertoneSide.WARM else steady(at) < 0
