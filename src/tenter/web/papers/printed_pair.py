"""Two photographs on the papers of a sitting: which may be chosen, which are, and their pictures as they are printed.

The pictures are worked out each time, after the client's consent and the day of deletion were looked at, and kept
nowhere: what is erased, past its day or withdrawn is on no paper that is written afterwards.
"""

from datetime import datetime

from django.contrib.auth.models import User
from django.db.models import QuerySet
from django.utils import timezone
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.consultation.client.consent import Purpose
from tenter.errors import TenterError
from tenter.photo.cards import ChartKind
from tenter.photo.files.loading import photo_from_bytes
from tenter.photo.together.side_by_side import SideBySide, side_by_side
from tenter.report.client_paper.photo_pair import PhotoPair, photo_pair
from tenter.web.models import Photograph, PrintedPair, Sitting
from tenter.web.papers import photo_together
from tenter.web.pictures import measuring, pictures
from tenter.web.rules import consents

FEWEST_FOR_PAIR = 2
_NAMED = gettext_lazy("the best colour’s photograph"), gettext_lazy("the less good one’s photograph")
_CARDED = (ChartKind.CLASSIC24, ChartKind.OWN)


def offered_photographs(row: Sitting, seen: QuerySet[Photograph]) -> list[Photograph]:
    """Return those of the client's photographs, among those a user may see, that may be chosen, with their numbers."""
    return [shot for shot in photo_together.numbered(seen.filter(client=row.client_id)) if may_be_printed(shot)]


def may_be_printed(shot: Photograph) -> bool:
    """Whether a photograph is accepted, beside a card of patches, agreed to be printed, and not past its day."""
    able = shot.state == Photograph.State.DONE and shot.chart in _CARDED and not shot.past_its_day
    return able and consents.may_use(shot, Purpose.PRINTED)


def pair_of(row: Sitting) -> PrintedPair | None:
    """Return the pair that is chosen for a sitting, as long as both photographs may be printed."""
    chosen = PrintedPair.objects.filter(sitting=row).select_related("best__client", "less__client").first()
    if chosen is None or {chosen.best.client_id, chosen.less.client_id} != {row.client_id}:
        return None
    return chosen if may_be_printed(chosen.best) and may_be_printed(chosen.less) else None


def choose(row: Sitting, best: Photograph, less: Photograph, by: User) -> None:
    """Choose two photographs for the papers; raises `TenterError` with the reason where they would not be printed."""
    if best.pk == less.pk:
        raise TenterError(_("one photograph alone shows no difference; choose another one as the less good"))
    if row.client_id != best.client_id or row.client_id != less.client_id:
        raise TenterError(_("the photographs are of another client; choose two of this one"))
    if not (may_be_printed(best) and may_be_printed(less)):
        raise TenterError(_("one of them may not be printed any more; choose two of those that are offered"))
    found = _worked_out(best, less)
    if found.pictures is None:
        raise TenterError(found.left_out)
    PrintedPair.objects.update_or_create(
        sitting=row, defaults={"best": best, "less": less, "by": by, "at": timezone.now()}
    )


def printed_pair(row: Sitting, by: datetime | None = None) -> PhotoPair | None:
    """Return what is printed of the two photographs; None where none are chosen or one cannot be printed any more.

    by: when the paper was written; a pair that was chosen later was not on it.
    """
    chosen = pair_of(row)
    if chosen is None or (by is not None and chosen.at > by):
        return None
    try:
        return photo_pair(_worked_out(chosen.best, chosen.less), agreed=True)
    except TenterError:  # locked, or its file is gone: its own page says why
        return None


def chosen_since(row: Sitting, at: datetime) -> bool:
    """Whether a pair was chosen since then, so that papers of then were without it."""
    chosen = pair_of(row)
    return chosen is not None and chosen.at > at


def _worked_out(*shots: Photograph) -> SideBySide:
    photos = [photo_from_bytes(pictures.opened_picture(shot), "the picture") for shot in shots]
    cards, foreheads = map(measuring.face_card_of, shots), map(measuring.forehead_of, shots)
    return side_by_side(photos, [*map(str, _NAMED)], [*cards], [*foreheads])
