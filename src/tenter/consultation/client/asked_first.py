"""What is asked before the first cloth: whether light, wipes or a fabric trouble the client, and what is done then.

Common practice, no source. Words of a closed list and nothing about health: what troubles somebody is kept away, and
not explained. A fabric is found by the words of a cloth's name and notes, so a cloth whose notes name none isn't found.
"""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import StrEnum

from tenter.consultation.cloths.kit import Drape, Kit
from tenter.errors import UnknownName
from tenter.language import _


class ClientTrouble(StrEnum):
    """What may trouble a client in a sitting."""

    LIGHT = "light"
    WIPES = "wipes"
    LATEX = "latex"
    WOOL = "wool"
    SYNTHETIC = "synthetic"
    DYE = "dye"
    METAL = "metal"


@dataclass(frozen=True, slots=True)
class Care:
    """One thing that is asked, what is done about it, and the same in a few words for the bench.

    fabrics: words, in lower case, that name what the client is not to wear on the skin.
    """

    trouble: ClientTrouble
    label: str
    to_do: str
    at_bench: str
    fabrics: tuple[str, ...] = ()

    def concerns(self, drape: Drape) -> bool:
        """Whether the name or the notes of a cloth name one of the fabrics."""
        words = set(re.findall(r"\w+", f"{drape.name} {drape.notes}".lower()))
        return not words.isdisjoint(self.fabrics)


CARES = (
    Care(
        ClientTrouble.LIGHT,
        "Bright or flickering light",
        "Dim the lamp and switch off whatever flickers before the first cloth. Pause as soon as it troubles them. "
        "Nobody looks into the lamp.",
        "dim light, no flicker",
    ),
    Care(
        ClientTrouble.WIPES,
        "Wipes or cosmetics",
        "Put nothing of yours on the skin. Ask whether they take make-up off with something of their own.",
        "no wipes",
    ),
    Care(
        ClientTrouble.LATEX,
        "Latex or rubber",
        "Cover the hair with a cloth or a paper band.",
        "no latex band",
        ("latex", "rubber", "elastane", "neoprene"),
    ),
    Care(
        ClientTrouble.WOOL,
        "Wool",
        "Lay a clean cotton cloth at the neck, and hold wool off the skin.",
        "wool off the skin",
        ("wool", "woollen", "woolen", "merino", "cashmere", "mohair", "angora", "alpaca", "tweed"),
    ),
    Care(
        ClientTrouble.SYNTHETIC,
        "Synthetic fibre",
        "Lay a clean cotton cloth at the neck, and hold synthetic cloths off the skin.",
        "synthetics off the skin",
        ("polyester", "nylon", "polyamide", "acrylic", "elastane", "lurex"),
    ),
    Care(
        ClientTrouble.DYE,
        "Dye in cloth",
        "Lay a clean undyed cloth at the neck, and hold every dyed cloth off the skin.",
        "every dyed cloth off the skin",
    ),
    Care(
        ClientTrouble.METAL,
        "Metal, as in clips or lamé",
        "Use clips without metal, and hold lamé off the skin.",
        "metal off the skin",
        ("lame", "lamé", "lurex", "metallic"),
    ),
)


def cares_for(words: Iterable[str]) -> tuple[Care, ...]:
    """Return what is done about troubles, given as words as they are kept; raises `UnknownName` for another word."""
    known, wanted = {str(care.trouble): care for care in CARES}, set(words)
    for word in sorted(wanted - set(known)):
        raise UnknownName(_("trouble"), word, list(known))
    return tuple(care for care in CARES if str(care.trouble) in wanted)


def off_the_skin(cares: Iterable[Care], kit: Kit) -> tuple[Drape, ...]:
    """Return the cloths of a kit whose fabric troubles the client, in the kit's order."""
    concerned = tuple(cares)
    return tuple(drape for drape in kit.drapes if any(care.concerns(drape) for care in concerned))
