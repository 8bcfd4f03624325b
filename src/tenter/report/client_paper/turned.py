"""The verdict as one turns it to the client: the client's paper on one screen, without a number."""

from collections.abc import Sequence
from dataclasses import dataclass

from tenter.language import N_, translated
from tenter.report.client_paper.content import ClientPaper
from tenter.report.client_paper.result import PaperResult
from tenter.report.client_paper.shades import Shade, SignKey, sign_keys

_COLOURS, _REASONS = 10, 3  # that stand on the screen at the most
_TOLD = ("over-claim",)  # of the cautions: how far to trust it; the others are on the paper


@dataclass(frozen=True, slots=True)
class TurnedLabels:
    """The few words of the screen that are of no client."""

    reasons: str = N_("What was seen on you")
    colours: str = N_("Your colours")
    skip: str = N_("Skip to the page")


@dataclass(frozen=True, slots=True)
class TurnedVerdict:
    """What stands on the screen that is turned to the client. words: whether words stand beside every colour."""

    result: PaperResult
    colours: tuple[Shade, ...]
    signs: tuple[SignKey, ...]
    reasons: tuple[str, ...]
    caution: str
    words: bool
    labels: TurnedLabels


def turned_verdict(paper: ClientPaper) -> TurnedVerdict:
    """Return what of the client's paper stands on the screen that is turned to them."""
    colours = _across(paper.near, [shade for rail in paper.rails for shade in rail.shades])
    return TurnedVerdict(
        result=paper.result,
        colours=colours,
        signs=sign_keys(colours),
        reasons=paper.seen[:_REASONS],
        caution=" ".join(caution.text for caution in paper.cautions if caution.key in _TOLD),
        words=paper.client.words_only or paper.client.minor,
        labels=translated(TurnedLabels()),
    )


def _across(near: Sequence[Shade], hung: Sequence[Shade]) -> tuple[Shade, ...]:
    """Return the colours across the screen as a shop hangs them: those with a title or for beside the face first."""
    wanted = dict.fromkeys((*(shade for shade in hung if shade.title), *near, *hung))
    chosen = set(list(wanted)[:_COLOURS])
    return tuple(shade for shade in hung if shade in chosen)
