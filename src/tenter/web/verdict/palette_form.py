"""What the palette's page sends, made into one change: a colour off, another in its place, one more, another order."""

import re
from collections.abc import Callable, Mapping

import numpy as np
from django.utils.translation import gettext as _
from django.utils.translation import gettext_lazy

from tenter.colorimetry.measurement import D65_2, D65_10, Colours
from tenter.colorimetry.spaces import Lab, srgb_to_lab
from tenter.consultation.cloths.kit import Kit
from tenter.consultation.colours.colours import Part
from tenter.consultation.personal.edits import PARTS, Add, ChosenColour, Drop, Edit, Move, Swap
from tenter.errors import TenterError, UnknownName
from tenter.language import as_typed

_HEX = re.compile(r"#?([0-9a-f]{6})", re.IGNORECASE)
_WANTED = gettext_lazy("name a cloth of the kit by its number, such as D026, or a screen colour, such as #a04050")


def edit_of(said: Mapping[str, str], kit: Kit) -> Edit:
    """Return the change that a page sent; raises `UnknownName` for another act, `TenterError` for what is no change."""
    act = said.get("act", "")
    if act not in _ACTS:
        raise UnknownName(_("change of a palette"), act, _ACTS)
    return _ACTS[act](said, kit)


def _colour(said: Mapping[str, str]) -> str:
    key = said.get("colour", "")
    if not key:
        raise TenterError(_("the page did not say which colour; reload it"))
    return key[:80]


def _chosen(said: Mapping[str, str], kit: Kit) -> ChosenColour:
    """Return the colour that is chosen: by its numbers, as the page offers them, or by what was typed."""
    offered, typed, name = said.get("lab", ""), said.get("typed", "").strip(), said.get("name", "")
    if offered:
        return ChosenColour(_numbers(offered), name)
    if typed in kit.ids:
        lab = kit.bench_colours.lab[kit.row(typed)]
        return ChosenColour((float(lab[0]), float(lab[1]), float(lab[2])), name, typed)
    code = _HEX.fullmatch(typed)
    if not code:
        wrong = _("%(typed)s cannot be read here: %(wanted)s") if typed else _("no colour was entered: %(wanted)s")
        raise TenterError(wrong % {"typed": as_typed(typed[:40]), "wanted": _WANTED})
    return ChosenColour(_of_screen(code[1]), name)


def _numbers(text: str) -> Lab:
    try:
        L, a, b = (float(part) for part in text.split())
    except ValueError:
        refused = _("%(sent)s is not a colour that the page offered; reload it") % {"sent": as_typed(text[:40])}
        raise TenterError(refused) from None
    return L, a, b


def _of_screen(code: str) -> Lab:
    """Return a screen colour as a cloth of that colour would be measured, under D65/10°."""
    rgb = np.array([int(code[at : at + 2], 16) / 255 for at in (0, 2, 4)])
    L, a, b = Colours(srgb_to_lab(rgb)[None], D65_2).under(D65_10).lab[0]
    return round(float(L), 1), round(float(a), 1), round(float(b), 1)


def _part(said: Mapping[str, str]) -> Part:
    part = said.get("part") or Part.ACCENT
    if part not in [*PARTS]:
        raise UnknownName(_("part of a chosen colour"), part, PARTS)
    return Part(part)


_ACTS: dict[str, Callable[[Mapping[str, str], Kit], Edit]] = {
    "drop": lambda said, kit: Drop(_colour(said)),  # noqa: ARG005
    "swap": lambda said, kit: Swap(_colour(said), _chosen(said, kit)),
    "add": lambda said, kit: Add(_chosen(said, kit), _part(said)),
    "move": lambda said, kit: Move(_colour(said), said.get("before", "")[:80]),  # noqa: ARG005
}
