"""Readings, washes and what has become of a kit as plain values, as `tenter kit readings --json` prints them."""

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tenter.consultation.fading.drift import ClothDrift
    from tenter.consultation.fading.kit_drift import KitDrift
    from tenter.consultation.fading.trend import YearlyRate
    from tenter.consultation.readings.cloth_reading import ClothReading
    from tenter.consultation.readings.summary import ClothSummary
    from tenter.consultation.readings.wash_log import Wash


def reading_json(one: "ClothReading") -> dict[str, object]:
    """Return a reading as plain values for JSON."""
    from tenter.consultation.readings.book import reading_document

    return {name: value for name, value in reading_document(one).items() if name != "kind"}


def wash_json(one: "Wash") -> dict[str, object]:
    """Return a wash as plain values for JSON."""
    return {"cloth": one.cloth, "day": one.day, "kind": one.kind, "note": one.note}


def summary_document(one: "ClothSummary") -> dict[str, object]:
    """Return a cloth's colour on a day as plain values for JSON."""
    brightener = one.brightener
    return {
        "cloth": one.cloth,
        "day": one.day,
        "lab": list(one.lab),
        "illuminant": one.conditions.illuminant,
        "observer": str(one.conditions.observer),
        "readings": len(one.readings),
        "mcdm": one.mcdm,
        "furthest": one.furthest,
        "wide": one.is_wide,
        "basis": [str(basis) for basis in one.basis],
        "instruments": _said(one.readings, "instrument"),
        "backings": _said(one.readings, "backing"),
        "brightener": brightener
        and {"bluer_by": brightener.bluer_by, "delta_e_2000": brightener.delta_e, "named": brightener.is_named},
        "warnings": list(one.warnings),
    }


def drift_document(found: "KitDrift") -> dict[str, object]:
    """Return what has become of a kit as plain values for JSON."""
    return {
        "cloths": [_cloth_drift(found, one) for one in found.drifts],
        "pairs": [
            {
                "cloths": list(pair.cloths),
                "test": pair.test,
                "axis": str(pair.after.axis),
                "share_before": round(pair.before.share, 3),
                "share": round(pair.after.share, 3),
                "parted": list(pair.parted),
                "reason": pair.reason,
            }
            for pair in found.pairs
        ],
        "once": list(found.once),
        "not_in_kit": list(found.not_in_kit),
        "drifted_from_delta_e_2000": found.limit,
    }


def _cloth_drift(found: "KitDrift", one: "ClothDrift") -> dict[str, object]:
    uses, trend = found.uses[one.cloth], one.trend
    return {
        "cloth": one.cloth,
        "baseline": summary_document(one.baseline),
        "latest": summary_document(one.latest),
        "delta_e_2000": one.delta_e,
        "direction": one.direction,
        "drifted": one.has_drifted,
        "grey_scale": {"step": one.grade.step, "grade": round(one.grade.value, 2), "delta_e_f": one.grade.difference},
        "doubts": list(one.doubts),
        "trend": trend and {"days": trend.days, **{name: _rate(getattr(trend, name)) for name in _RATES}},
        "pairs": [list(pair.cloths) for pair in found.pairs_of(one.cloth)],
        "sittings_since": [{"sitting": use.sitting, "day": use.day} for use in uses.since],
        "sittings_undated": [use.sitting for use in uses.undated],
        "washes": [wash_json(wash) for wash in one.washes],
    }


_RATES = ("delta_e", "lightness", "a", "b", "chroma")


def _rate(one: "YearlyRate") -> dict[str, object]:
    return {"per_year": one.per_year, "interval_90": [one.low, one.high]}


def _said(readings: "Sequence[ClothReading]", name: str) -> list[str]:
    return list(dict.fromkeys(text for one in readings if (text := getattr(one.how, name))))
