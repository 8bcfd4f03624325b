"""Tenter: measured support for the personal colour consultant.

The public names load on first use, so that importing the package costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tenter.consultation.face import Face
    from tenter.consultation.judgements import (
        Answer,
        ConsultantVerdict,
        DrapeJudgement,
        EarlierResult,
        FanJudgement,
        GarmentJudgement,
        Group,
        PairJudgement,
        Preference,
        Showing,
        Source,
        Suits,
        View,
        VoidEntry,
        Worth,
    )
    from tenter.consultation.kit import Kit
    from tenter.consultation.method import Method
    from tenter.consultation.palette import Palette
    from tenter.consultation.plan import NothingToPropose
    from tenter.consultation.sitting import Sitting
    from tenter.consultation.verdict import PhaseMissing, Verdict
    from tenter.errors import TenterError

__all__ = [
    "Answer",
    "ConsultantVerdict",
    "DrapeJudgement",
    "EarlierResult",
    "Face",
    "FanJudgement",
    "GarmentJudgement",
    "Group",
    "Kit",
    "Method",
    "NothingToPropose",
    "PairJudgement",
    "Palette",
    "PhaseMissing",
    "Preference",
    "Showing",
    "Sitting",
    "Source",
    "Suits",
    "TenterError",
    "Verdict",
    "View",
    "VoidEntry",
    "Worth",
]

_HOMES = {
    "Answer": "tenter.consultation.judgements",
    "ConsultantVerdict": "tenter.consultation.judgements",
    "DrapeJudgement": "tenter.consultation.judgements",
    "EarlierResult": "tenter.consultation.judgements",
    "Face": "tenter.consultation.face",
    "FanJudgement": "tenter.consultation.judgements",
    "GarmentJudgement": "tenter.consultation.judgements",
    "Group": "tenter.consultation.judgements",
    "Kit": "tenter.consultation.kit",
    "Method": "tenter.consultation.method",
    "NothingToPropose": "tenter.consultation.plan",
    "PairJudgement": "tenter.consultation.judgements",
    "Palette": "tenter.consultation.palette",
    "PhaseMissing": "tenter.consultation.verdict",
    "Preference": "tenter.consultation.judgements",
    "Showing": "tenter.consultation.judgements",
    "Sitting": "tenter.consultation.sitting",
    "Source": "tenter.consultation.judgements",
    "Suits": "tenter.consultation.judgements",
    "TenterError": "tenter.errors",
    "Verdict": "tenter.consultation.verdict",
    "View": "tenter.consultation.judgements",
    "VoidEntry": "tenter.consultation.judgements",
    "Worth": "tenter.consultation.judgements",
}


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module 'tenter' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)
