"""What may be said of one cloth beside its answer: flags of direction, and signs seen in the face."""

from dataclasses import dataclass
from enum import StrEnum

from tenter.consultation.axes import Axis
from tenter.errors import TenterError, UnknownName
from tenter.language import _, as_typed


class Flag(StrEnum):
    """Where a cloth misses the client, or that it is right, on one axis."""

    TOO_WARM = "too-warm"
    TOO_COOL = "too-cool"
    TOO_LIGHT = "too-light"
    TOO_DARK = "too-dark"
    TOO_BRIGHT = "too-bright"
    TOO_SOFT = "too-soft"
    UNDERTONE_RIGHT = "undertone-right"
    DEPTH_RIGHT = "depth-right"
    CLARITY_RIGHT = "clarity-right"

    @property
    def axis(self) -> Axis:
        """The axis spoken of."""
        return _FLAG_AXES[self][0]

    @property
    def direction(self) -> int:
        """+1: the cloth lies above the client's ideal on the axis; -1: below; 0: right."""
        return _FLAG_AXES[self][1]


_FLAG_AXES = {
    Flag.TOO_WARM: (Axis.UNDERTONE, 1),
    Flag.TOO_COOL: (Axis.UNDERTONE, -1),
    Flag.TOO_LIGHT: (Axis.DEPTH, 1),
    Flag.TOO_DARK: (Axis.DEPTH, -1),
    Flag.TOO_BRIGHT: (Axis.CLARITY, 1),
    Flag.TOO_SOFT: (Axis.CLARITY, -1),
    Flag.UNDERTONE_RIGHT: (Axis.UNDERTONE, 0),
    Flag.DEPTH_RIGHT: (Axis.DEPTH, 0),
    Flag.CLARITY_RIGHT: (Axis.CLARITY, 0),
}


class Sign(StrEnum):
    """What was seen in the face over a cloth. Only those with a documented link to a direction are evidence."""

    EVEN = "even"
    BLOTCHY = "blotchy"
    CLEAR = "clear"
    SHADOWED = "shadowed"
    HEALTHY = "healthy"
    SALLOW = "sallow"
    LIVELY = "lively"
    DRAINED = "drained"
    BLENDS = "blends"
    STANDS_APART = "stands-apart"
    OWN_TINT = "own-tint"
    APPLIED_TINT = "applied-tint"
    MORE_COLOUR = "more-colour"
    LESS_COLOUR = "less-colour"
    CLOTH_FIRST = "cloth-first"
    FACE_FIRST = "face-first"


@dataclass(frozen=True, slots=True)
class Flagged:
    """A flag and the cloth it was said of."""

    drape: str
    flag: Flag

    def __str__(self) -> str:
        return f"{self.drape}:{self.flag}"


@dataclass(frozen=True, slots=True)
class Seen:
    """A sign and the cloth it was seen over."""

    drape: str
    sign: Sign

    def __str__(self) -> str:
        return f"{self.drape}:{self.sign}"


def _split(remark: object, kind: str) -> tuple[str, str]:
    drape, colon, word = str(remark).strip().partition(":")
    if not (drape and colon and word):
        raise TenterError(
            _(
                "{remark} is not a {kind}; write the cloth and the word, as in 'D061:too-warm'",
                remark=as_typed(remark),
                kind=kind,
            )
        )
    return drape, word.strip()


def parse_flag(remark: "str | Flagged") -> Flagged:
    """Return the flag of a remark like 'D061:too-warm'.

    Raises `TenterError` for a remark of another form, and `UnknownName` for another flag.
    """
    if isinstance(remark, Flagged):
        return remark
    drape, word = _split(remark, _("flag"))
    try:
        return Flagged(drape, Flag(word))
    except ValueError:
        raise UnknownName(_("flag"), word, Flag) from None


def parse_sign(remark: "str | Seen") -> Seen:
    """Return the sign of a remark like 'D061:blotchy'.

    Raises `TenterError` for a remark of another form, and `UnknownName` for another sign.
    """
    if isinstance(remark, Seen):
        return remark
    drape, word = _split(remark, _("sign"))
    try:
        return Seen(drape, Sign(word))
    except ValueError:
        raise UnknownName(_("sign"), word, Sign) from None
