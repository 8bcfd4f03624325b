"""What may be noted beside any answer, and what every kind of entry says of itself."""

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, ClassVar

from tenter.consultation.words.answers import Source, View, member_of
from tenter.consultation.words.flags import Flagged, Seen, parse_flag, parse_sign
from tenter.errors import TenterError
from tenter.given import given_number, given_text
from tenter.language import _, in_a_row

_LATEST_MINUTE = 1e6  # of a sitting: nearly two years, as a sitting may be taken up again


@dataclass(frozen=True, kw_only=True)
class Remarks:
    """What may be noted beside any answer.

    `flags` and `signs` may be given as text ("D061:too-warm"); `minute`: in minutes, a part of one too, from the start
    of the sitting. Raises `TenterError` or `UnknownName` for what is none of these.
    """

    speaks_of_face: ClassVar[bool] = False  # a kind of entry is evidence only where it says so
    follows_verdict: ClassVar[bool] = False  # a kind of entry that had no part in how the result came about

    flags: tuple[Flagged, ...] = ()
    signs: tuple[Seen, ...] = ()
    region: str | None = None
    view: View = View.ALTERNATE
    source: Source = Source.ANALYST
    minute: float | None = None
    note: str = ""

    @property
    def cloths(self) -> tuple[str, ...]:
        """Every cloth held, in the order of the answer; raises `NotImplementedError` in a kind without its own."""
        raise NotImplementedError

    @property
    def is_evidence(self) -> bool:
        """Whether it may speak about the face: a comparison or verdict on cloth, made by the analyst."""
        return self.speaks_of_face and self.source is Source.ANALYST

    def _check_remarks(self) -> None:
        set_field(self, "flags", tuple(parse_flag(f) for f in as_list(self.flags)))
        set_field(self, "signs", tuple(parse_sign(s) for s in as_list(self.signs)))
        set_field(self, "view", member_of(View, self.view, _("view")))
        set_field(self, "source", member_of(Source, self.source, _("source")))
        given_text(self.note, _("a note"), needed=False)
        if self.region is not None:
            given_text(self.region, _("a region of the face"), needed=False)
        if self.minute is not None:
            set_field(self, "minute", given_number(self.minute, _("the minute of an entry"), 0, _LATEST_MINUTE))
        for drape, remark in [(r.drape, str(r)) for r in self.flags] + [(r.drape, str(r)) for r in self.signs]:
            if drape not in self.cloths:
                raise TenterError(
                    _(
                        "{remark} names a cloth that was not held; held: {names}",
                        remark=remark,
                        names=in_a_row(self.cloths),
                    )
                )
        opposed = {(f.drape, f.flag.axis) for f in self.flags}
        if len(opposed) < len({(f.drape, f.flag) for f in self.flags}):
            raise TenterError(_("two flags contradict each other on one axis of one cloth; keep one of them"))


def as_list(values: object) -> list[Any]:
    """Return one remark or several as a list; what they are is checked by their own parsers."""
    return list(values) if isinstance(values, Iterable) and not isinstance(values, str) else [values]


def set_field(target: object, name: str, value: object) -> None:
    """Set a field of a frozen dataclass while it is being made."""
    object.__setattr__(target, name, value)
