"""What photographs change in a kit, as a page shows it: each cloth before and after, and by how much."""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import Colours
from tenter.consultation.photographed import KitChange, KitDraft
from tenter.numerals import how_many
from tenter.report.wording import plain_number

_BEYOND = "beyond the photograph’s interval"


@dataclass(frozen=True, slots=True)
class ToldChange:
    """One cloth: its swatches and values before and after, ΔE00 in words, and what is to be said of it."""

    id: str
    name: str
    before_hex: str
    before: str
    after_hex: str
    after: str
    delta_e: str
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToldDraft:
    """All of them, what they come to in a sentence, and under which light and observer the values are."""

    changes: tuple[ToldChange, ...]
    summary: str
    conditions: str


def told(draft: KitDraft) -> ToldDraft:
    """Return what a page shows of a kit that would be made."""
    return ToldDraft(tuple(_told(change, draft) for change in draft.changes), summary(draft), str(draft.conditions))


def summary(draft: KitDraft) -> str:
    """Return how many cloths differ, are new, and stay."""
    new = sum(change.is_new for change in draft.changes)
    moved = [change.delta_e for change in draft.changes if change.delta_e is not None]
    said = []
    if changed := len(draft.changes) - new:
        by = f", by ΔE00 {np.median(moved):.1f} in the median and {max(moved):.1f} at most" if moved else ""
        said.append(f"{how_many(changed, 'cloth')} with another colour{by}")
    if new:
        said.append(f"{how_many(new, 'cloth')} added")
    said.append(f"{how_many(draft.unchanged, 'cloth')} as before" if draft.unchanged else "no other cloth")
    return f"{'; '.join(said)}."


def _told(change: KitChange, draft: KitDraft) -> ToldChange:
    remarks = (_BEYOND, *change.remarks) if change.is_beyond else change.remarks
    after = ", ".join(
        f"{plain_number(float(value))}\u00a0±\u00a0{half:.1f}"
        for value, half in zip(change.after, change.half_width_90, strict=True)
    )
    return ToldChange(
        id=change.id,
        name="" if change.name == change.id else change.name,
        before_hex="" if change.before is None else _hex(change.before, draft),
        before="" if change.before is None else ", ".join(plain_number(float(v)) for v in change.before),
        after_hex=_hex(change.after, draft),
        after=after,
        delta_e="new" if change.is_new else "" if change.delta_e is None else f"{change.delta_e:.1f}",
        remarks=remarks,
    )


def _hex(lab: FloatArray, draft: KitDraft) -> str:
    shown, _ = Colours(lab[None], draft.conditions).on_screen()
    return shown[0]
