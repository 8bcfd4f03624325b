"""What a page says of a predicted change of a face: where it can be seen, place by place, and what that rests on."""

from typing import Any

from django.utils.translation import gettext as _

from tenter.consultation.reflected.effect import CONTRAST, EffectSize, ReflectedEffect
from tenter.consultation.reflected.on_face import FacePrediction
from tenter.language import all_of, local_number, local_signed
from tenter.report.pictures.face_colours import region_name
from tenter.report.words.wording import sentence


def effect_page_content(found: FacePrediction) -> dict[str, Any]:
    """Return what a page shows of a prediction beside its drawing."""
    seen, perhaps, small = (
        [region_name(region) for region in found.of_size(size)]
        for size in (EffectSize.VISIBLE, EffectSize.DEPENDS, EffectSize.TOO_SMALL)
    )
    return {
        "rows": [_row(one, found.size_said(one)) for one in found.effects.values()],
        "seen": sentence(all_of(seen)),
        "perhaps": all_of(perhaps),
        "small": all_of(small),
        "in_own_room": found.measured,
        "notes": (*found.notes, str(CONTRAST)),
    }


def _row(one: ReflectedEffect, said: str) -> dict[str, object]:
    low, high = one.delta_e_2000_range
    return {
        "place": region_name(one.region),
        "delta_e": local_number(one.delta_e_2000, 2),
        "range": _("%(low)s to %(high)s") % {"low": local_number(low, 2), "high": local_number(high, 2)},
        "changes": [local_signed(value) for value in one.delta_lab],
        "size": said,
    }
