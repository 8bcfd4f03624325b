"""Tenter: measured support for the personal colour consultant.

The public names load on first use, so that importing the package costs nothing.
"""

from importlib import import_module
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from tenter.consultation.client.face import Face
    from tenter.consultation.cloths.kit import Kit
    from tenter.consultation.conventions.method import Method
    from tenter.consultation.findings.verdict import PhaseMissing, Verdict
    from tenter.consultation.palette.palette import Palette
    from tenter.consultation.reading.plan import NothingToPropose
    from tenter.consultation.record.judgements import (
        DrapeJudgement,
        FanJudgement,
        GarmentJudgement,
        Group,
        PairJudgement,
    )
    from tenter.consultation.record.no_evidence import ConsultantVerdict, EarlierResult, Preference, Showing, VoidEntry
    from tenter.consultation.sitting.sitting import Sitting
    from tenter.consultation.words.answers import Answer, Source, Suits, View, Worth
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
    "Answer": "tenter.consultation.words.answers",
    "ConsultantVerdict": "tenter.consultation.record.no_evidence",
    "DrapeJudgement": "tenter.consultation.record.judgements",
    "EarlierResult": "tenter.consultation.record.no_evidence",
    "Face": "tenter.consultation.client.face",
    "FanJudgement": "tenter.consultation.record.judgements",
    "GarmentJudgement": "tenter.consultation.record.judgements",
    "Group": "tenter.consultation.record.judgements",
    "Kit": "tenter.consultation.cloths.kit",
    "Method": "tenter.consultation.conventions.method",
    "NothingToPropose": "tenter.consultation.reading.plan",
    "PairJudgement": "tenter.consultation.record.judgements",
    "Palette": "tenter.consultation.palette.palette",
    "PhaseMissing": "tenter.consultation.findings.verdict",
    "Preference": "tenter.consultation.record.no_evidence",
    "Showing": "tenter.consultation.record.no_evidence",
    "Sitting": "tenter.consultation.sitting.sitting",
    "Source": "tenter.consultation.words.answers",
    "Suits": "tenter.consultation.words.answers",
    "TenterError": "tenter.errors",
    "Verdict": "tenter.consultation.findings.verdict",
    "View": "tenter.consultation.words.answers",
    "VoidEntry": "tenter.consultation.record.no_evidence",
    "Worth": "tenter.consultation.words.answers",
}


def __getattr__(name: str) -> object:
    if name not in _HOMES:
        raise AttributeError(f"module 'tenter' has no attribute {name!r}")
    return getattr(import_module(_HOMES[name]), name)
