"""Tenter: measured support for the personal colour consultant.

The public names load on first use, so that importing the package costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tenter.consultation.answers import Answer, Source, Suits, View, Worth
    from tenter.consultation.face import Face
    from tenter.consultation.judgements import DrapeJudgement, FanJudgement, GarmentJudgement, Group, PairJudgement
    from tenter.consultation.kit import Kit
    from tenter.consultation.method import Method
    from tenter.consultation.no_evidence import ConsultantVerdict, EarlierResult, Preference, Showing, VoidEntry
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
    "Answer": "tenter.consultation.answers",
    "ConsultantVerdict": "tenter.consultation.no_evidence",
    "DrapeJudgement": "tenter.consultation.judgements",
    "EarlierResult": "tenter.consultation.no_evidence",
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
    "Preference": "tenter.consultation.no_evidence",
    "Showing": "tenter.consultation.no_evidence",
    "Sitting": "tenter.consultation.sitting",
    "Source": "tenter.consultation.answers",
    "Suits": "tenter.consultation.answers",
    "TenterError": "tenter.errors",
    "Verdict": "tenter.consultation.verdict",
    "View": "tenter.consultation.answers",
    "VoidEntry": "tenter.consultation.no_evidence",
    "Worth": "tenter.consultation.answers",
}


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module 'tenter' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)
