"""A phone's tone curve in plain words, for whoever has learned the phone."""

from tenter.photo.camera.tone_prior import TonePrior

_PLAIN = 0.1  # contrast and lift up to which a curve is called plain
_MOSTLY, _PARTLY = 0.6, 0.25  # of the curve on luminance


def tone_words(tone: TonePrior) -> str:
    """Return what a learned tone curve does to a picture, beside plain sRGB: in short sentences.

    The borders between the words are ours.
    """
    contrast, lift, by_luminance = tone.mean
    said = [
        _more(contrast, "more contrast", "less contrast"),
        _more(-lift, "lighter middle tones", "darker middle tones"),
    ]
    found = " and ".join(filter(None, said))
    curve = f"Its pictures have {found} than a plain picture." if found else "Its tones are those of a plain picture."
    return f"{curve} {_colours(by_luminance)}"


def _more(value: float, above: str, below: str) -> str:
    return above if value > _PLAIN else below if value < -_PLAIN else ""


def _colours(by_luminance: float) -> str:
    if by_luminance > _MOSTLY:
        return "It changes mostly lightness, so red, green and blue keep their ratio."
    if by_luminance > _PARTLY:
        return "It changes partly lightness, and partly red, green and blue each by itself."
    return "It changes red, green and blue each by itself."
