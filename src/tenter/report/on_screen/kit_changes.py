"""What photographs change in a kit, as a page shows it: each cloth before and after, and by how much."""

from dataclasses import dataclass

import numpy as np

from tenter.arrays import FloatArray
from tenter.colorimetry.measurement import Colours
from tenter.consultation.cloths.photographed import KitChange, KitDraft
from tenter.language import N_, _, in_a_row, local_number, ngettext, pgettext
from tenter.report.words.wording import plain_number

_BEYOND = N_("beyond the photograph’s interval")


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
    """What photographs would change: each cloth, a sentence for all, and the light and observer of the values."""

    changes: tuple[ToldChange, ...]
    summary: str
    conditions: str


def told_draft(draft: KitDraft) -> ToldDraft:
    """Return what a page shows of a kit that would be made."""
    return ToldDraft(
        tuple(_told(change, draft) for change in draft.changes), draft_summary(draft), str(draft.conditions)
    )


def draft_summary(draft: KitDraft) -> str:
    """Return how many cloths differ, are new, and stay."""
    new = sum(change.is_new for change in draft.changes)
    moved = [change.delta_e for change in draft.changes if change.delta_e is not None]
    said = []
    if changed := len(draft.changes) - new:
        said.append(_changed(changed, moved))
    if new:
        said.append(ngettext("{count} cloth added", "{count} cloths added", new))
    same = draft.unchanged
    said.append(ngettext("{count} cloth as before", "{count} cloths as before", same) if same else _("no other cloth"))
    return _("{changes}.", changes=pgettext("between changes", "; ").join(said))


def _changed(count: int, moved: list[float]) -> str:
    if not moved:
        return ngettext("{count} cloth with another colour", "{count} cloths with another colour", count)
    return ngettext(
        "{count} cloth with another colour, by ΔE00 {median} in the median and {most} at most",
        "{count} cloths with another colour, by ΔE00 {median} in the median and {most} at most",
        count,
        median=local_number(float(np.median(moved)), 1),
        most=local_number(max(moved), 1),
    )


def _told(change: KitChange, draft: KitDraft) -> ToldChange:
    remarks = (_(_BEYOND), *change.remarks) if change.is_beyond else change.remarks
    after = in_a_row(
        [
            f"{plain_number(float(value))}\u00a0±\u00a0{local_number(half, 1)}"
            for value, half in zip(change.after, change.half_width_90, strict=True)
        ]
    )
    return ToldChange(
        id=change.id,
        name="" if change.name == change.id else change.name,
        before_hex="" if change.before is None else _hex(change.before, draft),
        before="" if change.before is None else in_a_row([plain_number(float(v)) for v in change.before]),
        after_hex=_hex(change.after, draft),
        after=after,
        delta_e=_("new") if change.is_new else "" if change.delta_e is None else local_number(change.delta_e, 1),
        remarks=remarks,
    )


def _hex(lab: FloatArray, draft: KitDraft) -> str:
    return Colours(lab[None], draft.conditions).on_screen()[0][0]
