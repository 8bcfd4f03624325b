"""A phone's tone curve in plain words, for whoever has learned the phone."""

from tenter.language import _, all_of
from tenter.photo.camera.tone_prior import TonePrior

_PLAIN = 0.1  # contrast and lift up to which a curve is called plain
_MOSTLY, _PARTLY = 0.6, 0.25  # of the curve on luminance


def tone_words(tone: TonePrior) -> str:
    """Return what a learned tone curve does to a picture, beside plain sRGB: in short sentences.

    The borders between the words are ours.
    """
    contrast, lift, by_luminance = tone.mean
    said = [
        _more(contrast, _("more contrast"), _("less contrast")),
        _more(-lift, _("lighter middle tones"), _("darker middle tones")),
    ]
    found = all_of([one for one in said if one])
    curve = (
        _("Its pictures have {changes} than a plain picture.", changes=found)
        if found
        else _("Its tones are those of a plain picture.")
    )
    return f"{curve} {_colours(by_luminance)}"


def _more(value: float, above: str, below: str) -> str:
    return above if value > _PLAIN else below if value < -_PLAIN else ""


def _colours(by_luminance: float) -> str:
    if by_luminance > _MOSTLY:
        return _("It changes mostly lightness, so red, green and blue keep their ratio.")
    if by_luminance > _PARTLY:
        return _("It changes partly lightness, and partly red, green and blue each by itself.")
    return _("It changes red, green and blue each by itself.")
