"""What a sitting takes care of: what was asked first, who is with a minor, and which cloths stay off the skin."""

from dataclasses import dataclass

from django.utils.translation import gettext as _

from tenter.consultation.client.asked_first import Care, cares_for, off_the_skin
from tenter.consultation.cloths.kit import Drape, Kit
from tenter.report.on_screen.arrival_words import care_at_bench
from tenter.web.models import Arrival, Sitting


@dataclass(frozen=True, slots=True)
class TakenCare:
    """asked: whether the client was asked. guardian: who is present with a minor, by name; empty for nobody noted."""

    asked: bool
    cares: tuple[Care, ...]
    off_skin: tuple[Drape, ...]
    minor: bool
    guardian: str

    @property
    def off_skin_ids(self) -> frozenset[str]:
        """The numbers of the cloths that are held off the skin."""
        return frozenset(drape.id for drape in self.off_skin)

    @property
    def at_bench(self) -> str:
        """What the bench says of it, in a few words; nothing where there is nothing to say."""
        said = [_("under 18: provisional"), self.guardian or _("no guardian noted")] if self.minor else []
        said += [care_at_bench(care) for care in self.cares]
        if not self.asked:
            said.append(_("light and fabrics not asked about"))
        return " · ".join(said)


def taken_care(row: Sitting, kit: Kit) -> TakenCare:
    """Return what a sitting takes care of."""
    kept = Arrival.objects.filter(sitting=row).first()
    cares = cares_for((kept.troubles or ()) if kept else ())
    asked, guardian = bool(kept and kept.troubles is not None), kept.guardian if kept else ""
    return TakenCare(asked, cares, off_the_skin(cares, kit), row.client.minor, guardian)


def said_before(row: Sitting) -> list[str]:
    """Return what troubled a sitting's client when they were last asked, to be asked again."""
    earlier = Arrival.objects.filter(sitting__client=row.client_id, troubles__isnull=False)
    last = earlier.order_by("-sitting__started", "-pk").first()
    return list(last.troubles or ()) if last else []


def check_arrivals(rows: list[Arrival]) -> None:
    """Raise `UnknownName` for a row that says a word of no list of ours."""
    for row in rows:
        cares_for(row.troubles or ())
