"""A sitting's record alone: what was recorded, made void, undone and set aside, with nothing weighed.

It takes what a `Reading` takes and refuses what a `Reading` refuses, a hundred times as fast.
"""

from tenter.consultation.cloths.kit import Kit
from tenter.consultation.conventions.method import Method
from tenter.consultation.record.history import History
from tenter.consultation.record.judgements import Judgement
from tenter.consultation.record.no_evidence import ConsultantVerdict
from tenter.errors import TenterError
from tenter.given import shown


def check_judgement(judgement: Judgement, kit: Kit, method: Method) -> None:
    """Raise `TenterError` for what is no judgement, `UnknownName` for a cloth or category that is not there."""
    if not isinstance(judgement, Judgement):
        raise TenterError(f"an entry is a judgement, such as tenter.PairJudgement; got {shown(judgement)}")
    for cloth in judgement.cloths:
        kit.row(cloth)
    if isinstance(judgement, ConsultantVerdict) and judgement.method in ("", method.name):
        method.region(judgement.category)


class Record(History):
    """A history whose judgements are held against a kit and a method as they come."""

    def __init__(self, kit: Kit, method: Method) -> None:
        super().__init__()
        self.kit, self.method = kit, method

    def record(self, judgement: Judgement) -> int:
        """Append a judgement and return its entry number."""
        check_judgement(judgement, self.kit, self.method)
        return super().record(judgement)

    def set_aside(self, drape: str) -> None:
        """Note that a cloth cannot be found."""
        self.kit.row(drape)
        super().set_aside(drape)
