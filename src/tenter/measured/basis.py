"""What measured colours rest on."""

from enum import StrEnum


class CalibrationBasis(StrEnum):
    """What the colours rest on: a card in the picture, a grey or a white, or only one region against another."""

    CHART = "chart"
    GREY = "grey"
    RELATIVE = "relative"
