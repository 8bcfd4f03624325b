"""Tenter: measured support for the personal colour consultant."""

from tenter.consultation.face import Face
from tenter.consultation.judgements import (
    Answer,
    DrapeJudgement,
    EarlierResult,
    FanJudgement,
    Group,
    PairJudgement,
    Preference,
    Source,
    Suits,
    View,
    VoidEntry,
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
    "DrapeJudgement",
    "EarlierResult",
    "Face",
    "FanJudgement",
    "Group",
    "Kit",
    "Method",
    "NothingToPropose",
    "PairJudgement",
    "Palette",
    "PhaseMissing",
    "Preference",
    "Sitting",
    "Source",
    "Suits",
    "TenterError",
    "Verdict",
    "View",
    "VoidEntry",
]
