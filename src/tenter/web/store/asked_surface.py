"""What throws light on a face, as a page asks for it: a cloth of the studio's kit, or a colour."""

from dataclasses import dataclass

from tenter import Kit
from tenter.colorimetry.measurement import D65_10
from tenter.consultation.garments.given import is_reading, parse_reading
from tenter.consultation.readings.book import ReadingBook
from tenter.consultation.reflected.effect import ThrowingSurface
from tenter.consultation.reflected.in_turn import require_apart
from tenter.consultation.reflected.on_face import drape_surface
from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.web.models import KitRecord, PhotoSeries
from tenter.web.store import kept_readings


@dataclass(frozen=True, slots=True)
class KnownCloths:
    """A kit as it is today, with the readings that its cloths' light is known by."""

    kit: Kit
    book: ReadingBook

    @classmethod
    def of(cls, record: KitRecord) -> "KnownCloths":
        """Return the cloths of a kit's row; one that was made of readings has no others."""
        book = ReadingBook() if record.origin_id else kept_readings.book_of(record)
        return cls(kept_readings.kit_today(record).kit, book)

    @property
    def names(self) -> list[tuple[str, str]]:
        """Number and name of each cloth whose light is known, for a field that offers them."""
        return [(drape.id, drape.name) for drape in self.kit.drapes if drape.measured and not drape.is_metal]

    def surface(self, text: str) -> ThrowingSurface:
        """Return the surface that a text names: a cloth by its number in any case, or L*, a*, b* under D65/10°.

        Raises `TenterError` for a cloth that is not there or throws no light that is known, and for no colour.
        """
        if is_reading(text):
            return ThrowingSurface.of_lab(text, parse_reading(text, D65_10).colours[0].lab, D65_10)
        same = next((name for name in self.kit.ids if name.casefold() == text.casefold()), text)
        return drape_surface(self.kit, same, self.book)


def may_measure_room(record: KitRecord | None, row: PhotoSeries) -> bool:
    """Whether a series of photographs has a card and two cloths of a kit that a room can be measured by."""
    if record is None or row.chart != ChartKind.CLASSIC24:
        return False
    cloths = KnownCloths.of(record)
    try:
        require_apart(cloths.surface(row.cloth_a), cloths.surface(row.cloth_b))
    except TenterError:
        return False
    return True
