"""When a cloth was washed or cleaned, and how."""

from dataclasses import dataclass

from tenter.consultation.readings.cloth_reading import cloth_name, day_from
from tenter.given import given_text
from tenter.language import _

_LONGEST = 120  # letters, as of what is written beside a reading


@dataclass(frozen=True, slots=True)
class Wash:
    """One cleaning of one cloth.

    day: ISO date. kind: in the studio's own words, such as 'machine, 30 °C'. Raises `TenterError` for what is no
    cloth's name, no day or no text.
    """

    cloth: str
    day: str
    kind: str
    note: str = ""

    def __post_init__(self) -> None:
        object.__setattr__(self, "cloth", cloth_name(self.cloth))
        object.__setattr__(self, "day", day_from(self.day))
        kind = " ".join(given_text(self.kind, _("the kind of a wash")).split())
        object.__setattr__(self, "kind", kind[:_LONGEST])
        note = " ".join(given_text(self.note, _("a wash's note"), needed=False).split())
        object.__setattr__(self, "note", note[:_LONGEST])
