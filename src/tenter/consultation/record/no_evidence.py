"""What is recorded beside the judgements, and is no evidence about the face: likings, results, what was shown."""

from dataclasses import dataclass
from typing import ClassVar

from tenter.consultation.record.remarks import Remarks, set_field
from tenter.consultation.record.sides import Side, checked_side, cloths_of
from tenter.consultation.words.answers import Brought, Worth, member_of
from tenter.errors import TenterError
from tenter.given import given_text
from tenter.language import _


@dataclass(frozen=True)
class Preference(Remarks):
    """A liking. It is kept, shown apart, and never evidence about the face.

    Raises `TenterError` for a cloth preferred to itself.
    """

    liked: Side
    over: Side | None = None

    def __post_init__(self) -> None:
        set_field(self, "liked", checked_side(self.liked))
        if self.over is not None:
            set_field(self, "over", checked_side(self.over))
            if set(cloths_of(self.over)) == set(cloths_of(self.liked)):
                raise TenterError(_("{names} was preferred to itself", names="+".join(cloths_of(self.liked))))
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloth liked and, if one was named, the one it was liked over."""
        return (*cloths_of(self.liked), *(cloths_of(self.over) if self.over is not None else ()))


@dataclass(frozen=True)
class VoidEntry(Remarks):
    """Cloths that were held but not judged, such as a wrong one lifted: kept, and no evidence."""

    PASSED_OVER: ClassVar[str] = "another pair was asked for"  # a note: the pair is not proposed again

    held: tuple[str, ...]

    def __post_init__(self) -> None:
        set_field(self, "held", cloths_of(checked_side(self.held)))
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloths held."""
        return self.held


@dataclass(frozen=True)
class EarlierResult(Remarks):
    """What another sitting, analyst or method said of this client. It is kept, and no evidence unless asked for.

    Raises `TenterError` where no category is named.
    """

    category: str
    method: str = ""

    def __post_init__(self) -> None:
        if not given_text(self.category, _("the category of an earlier result"), needed=False):
            raise TenterError(_("an earlier result names a category, such as 'light spring'"))
        given_text(self.method, _("the method of an earlier result"), needed=False)
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """No cloth was held."""
        return ()


@dataclass(frozen=True)
class ConsultantVerdict(Remarks):
    """The category that the consultant names as the result, with their reason as its `note`. It is no evidence.

    `method` is the name of the method that the category is of; left out, it is the sitting's. Raises `TenterError`
    where no category is named.
    """

    follows_verdict: ClassVar[bool] = True

    category: str
    method: str = ""

    def __post_init__(self) -> None:
        if not given_text(self.category, _("the category that the consultant names"), needed=False).strip():
            raise TenterError(_("a consultant's verdict names a category, such as 'light spring'"))
        given_text(self.method, _("the method of a consultant's verdict"), needed=False)
        self._check_remarks()

    @property
    def reason(self) -> str:
        """Why the consultant names it; empty where they gave no reason."""
        return self.note

    @property
    def cloths(self) -> tuple[str, ...]:
        """No cloth was held."""
        return ()


@dataclass(frozen=True)
class Showing(Remarks):
    """One cloth, or one thing that the client brought, held up after the verdict.

    Everybody knows the result by then, so it is never evidence about the season. It is kept as seen on the client. A
    thing that was brought has a name, which is free text. Raises `TenterError` unless it is of either one cloth or one
    thing, and the thing alone has a name.
    """

    follows_verdict: ClassVar[bool] = True

    worth: Worth
    drape: str = ""
    brought: Brought | None = None
    name: str = ""

    def __post_init__(self) -> None:
        set_field(self, "worth", member_of(Worth, self.worth, _("answer")))
        given_text(self.drape, _("a cloth's id"), needed=False)
        set_field(self, "name", given_text(self.name, _("the name of what was brought"), needed=False).strip())
        if self.brought is not None:
            set_field(self, "brought", member_of(Brought, self.brought, _("thing")))
        if bool(self.drape) is (self.brought is not None):
            raise TenterError(_("a showing is of one cloth of the kit, or of one thing that the client brought"))
        if (self.brought is not None) is not bool(self.name):
            raise TenterError(_("a thing that was brought needs a name, such as 'grey blazer'; a cloth has its own"))
        self._check_remarks()

    @property
    def cloths(self) -> tuple[str, ...]:
        """The cloth shown; none for a thing that was brought."""
        return (self.drape,) if self.drape else ()
