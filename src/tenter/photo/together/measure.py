"""Several photographs of one face measured together: one colour a region, one interval, and how well they agree.

The card is moved or turned between the photographs, so that its light errs anew in each; photographs in which nobody
moved it have that error in common. What they agree on is known better than from one of them; where they disagree it is
said, and the interval holds them all. A colour is the mean of what a colorimeter would have read on the face in each of
the photographs: where the light on the face changed between them, or the head was turned, the mean of those lights.

That they show one face is the user's word. No face is ever compared with another but by the colours of its regions.
"""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

import numpy as np

from tenter.arrays import FloatArray
from tenter.errors import TenterError
from tenter.language import N_, _, in_a_row, local_number, ngettext
from tenter.measured.basis import CalibrationBasis
from tenter.measured.face_parts import WrittenPhotograph, WrittenRegion
from tenter.measured.written_face import WrittenFace
from tenter.measured.written_numbers import WrittenSection
from tenter.photo.card.finding import ChartFinding
from tenter.photo.face.measure import differences_of, typology_of
from tenter.photo.face.result import FaceMeasurement, RegionColour
from tenter.photo.json_numbers import written_lab
from tenter.photo.reasons import Code, Reason, written_reasons
from tenter.photo.regions.hair import NO_HAIR_FOUND, HairFinding
from tenter.photo.regions.interval_parts import ColourInParts, ForTogether
from tenter.photo.regions.readings import asymmetry_of, readings_of
from tenter.photo.regions.regions import SKIN, Region
from tenter.photo.together.agreement import FaceAgreement, agreement_of
from tenter.photo.together.combining import combined, of_one_hold
from tenter.photo.together.compare import TooFewMeasured

_NO_WIDTH = 1e-9  # an interval's half-width: keeps a quotient finite
_REMEDY = N_("measure it again, then it can be measured together with others")


class NotForTogether(TenterError):
    """A measurement that does not say what others need to know of it."""

    def __init__(self, name: str) -> None:
        super().__init__(
            _("{name} was measured by an earlier version of the program; {advice}", name=name, advice=_(_REMEDY))
        )


@dataclass(frozen=True, slots=True)
class OneOfSeveral:
    """What one photograph says, to the digits that are written. colours: empty where it gives no absolute ones.

    card: its corners (4, 2) in widths of the face, from its middle along and across it, or None.
    """

    file: str
    name: str
    reasons: tuple[Reason, ...]
    basis: CalibrationBasis
    colours: Mapping[Region, ColourInParts]
    regions: Mapping[Region, WrittenRegion]
    chart: WrittenSection
    hair: HairFinding
    card: FloatArray | None

    @classmethod
    def of(cls, face: WrittenFace, file: str, name: str = "") -> "OneOfSeveral":
        """Return what a measurement says; `name`: what the photograph is called, else its file's name.

        Raises
        ------
        NotForTogether
            If it was written before photographs could be measured together.
        """
        try:
            kept, hair = ForTogether.of_written(face), HairFinding.of_written(face.hair)
            regions = {Region(region): said for region, said in face.regions.items()}
        except (KeyError, TypeError, ValueError):
            raise NotForTogether(name or file) from None
        return cls(
            file,
            name or file,
            written_reasons(face),
            face.basis,
            kept.parts,
            regions,
            face.chart or ChartFinding().to_json(),
            hair,
            kept.card_beside_face,
        )

    @classmethod
    def unreadable(cls, file: str, name: str, problem: str) -> "OneOfSeveral":
        """Return a photograph whose file cannot be read, and why."""
        reason = Reason(Code.UNREADABLE, problem)
        return cls(
            file, name, (reason,), CalibrationBasis.RELATIVE, {}, {}, ChartFinding().to_json(), NO_HAIR_FOUND, None
        )

    @property
    def accepted(self) -> bool:
        """Whether no reason refuses the photograph."""
        return not any(reason.refuses for reason in self.reasons)

    def same_as(self, other: "OneOfSeveral") -> bool:
        """Whether it is the same photograph: another one never gives every number again."""
        return bool(self.colours) and self.regions == other.regions


@dataclass(frozen=True, slots=True)
class FaceTogether:
    """What photographs of one face say together.

    measured: one measurement, refused where none of them was accepted. used: which of the photographs it rests on.
    agreement: None for fewer than two.
    """

    photographs: tuple[OneOfSeveral, ...]
    used: tuple[bool, ...]
    measured: FaceMeasurement
    agreement: FaceAgreement | None
    text: str

    @property
    def paragraphs(self) -> tuple[str, ...]:
        """The text in parts, each about one thing."""
        if self.agreement is None or self.agreement.agree:
            return (self.text,)
        return (*(found.text for found in self.agreement.findings), self.agreement.what_next)

    @property
    def rests_on(self) -> tuple[OneOfSeveral, ...]:
        """The photographs that it rests on."""
        return tuple(one for one, used in zip(self.photographs, self.used, strict=True) if used)

    def written(self) -> WrittenFace:
        """Return what is said of the face: that of one photograph, and what several add.

        `chart` is that of the first photograph that was used; each has its own among `photographs`.
        """
        face = self.measured.written()
        agreement = {"agree": None} if self.agreement is None else self.agreement.to_json()
        return replace(
            face,
            chart=(self.rests_on or self.photographs)[0].chart,
            photographs=tuple(map(self._photograph, self.photographs, self.used)),
            more={**face.more, "agreement": {**agreement, "text": self.text}},
        )

    def to_json(self) -> dict[str, Any]:
        """Return the object of `tenter face measure --same-face --json`."""
        return self.written().to_json()

    def _photograph(self, one: OneOfSeveral, used: bool) -> WrittenPhotograph:
        shift = None
        if used and self.agreement is not None:
            shift = written_lab(self.agreement.shifts[self.rests_on.index(one)])
        reasons = tuple(reason.written for reason in one.reasons)
        return WrittenPhotograph(one.file, used, one.accepted, reasons, shift, one.chart)


def measure_together(photographs: Sequence[OneOfSeveral]) -> FaceTogether:
    """Return what photographs of one face, one or more of them, say together; their order does not matter.

    One that was refused, or is there twice, is left out. Where one alone is left, its own colours are given.

    Raises
    ------
    TooFewMeasured
        If those that were accepted have no card, so that none of them gives absolute colours.
    """
    used = _used(photographs)
    faces = [one for one, counts in zip(photographs, used, strict=True) if counts]
    notes = tuple(_notes(faces if faces else photographs))
    if not faces and any(one.accepted for one in photographs):
        raise TooFewMeasured(0, len(photographs))
    if not faces:
        text = ngettext(
            "None of the {count} photograph is accepted. Each one’s own reasons say what to do.",
            "None of the {count} photographs is accepted. Each one’s own reasons say what to do.",
            len(photographs),
        )
        return FaceTogether(tuple(photographs), used, _refused(photographs, notes), None, text)
    agreement = _agreement(faces) if len(faces) > 1 else None
    colours = {region: _one_colour(region, faces, agreement) for region in Region if _read(region, faces)}
    text = _alone(photographs, faces[0]) if agreement is None else _text(agreement, faces, colours)
    code = Code.ONE_PHOTOGRAPH if agreement is None else Code.PHOTOGRAPHS_DISAGREE if not agreement.agree else None
    if code is not None:
        notes = (Reason(code, text), *notes)
    return FaceTogether(tuple(photographs), used, _measured(faces, colours, notes), agreement, text)


def _used(photographs: Sequence[OneOfSeveral]) -> tuple[bool, ...]:
    return tuple(
        bool(one.colours) and not any(one.same_as(other) for other in photographs[:n])
        for n, one in enumerate(photographs)
    )


def _read(region: Region, faces: Sequence[OneOfSeveral]) -> list[ColourInParts]:
    return [face.colours[region] for face in faces if region in face.colours]


def _agreement(faces: Sequence[OneOfSeveral]) -> FaceAgreement:
    return agreement_of([face.name for face in faces], [face.colours for face in faces], [face.card for face in faces])


def _one_colour(region: Region, faces: Sequence[OneOfSeveral], agreement: FaceAgreement | None) -> ColourInParts:
    """Return what the photographs say of a region.

    Where they disagree about it, its interval is wide enough to hold each of them. Where they agree, a second one makes
    nothing less sure than the surest was.
    """
    read = _read(region, faces)
    together = combined([of_one_hold(alike) for alike in _by_hold(region, faces, agreement)])
    if len(read) == 1:
        return together
    if agreement is not None and region in agreement.apart:
        furthest = np.abs(np.stack([colour.lab for colour in read]) - together.lab).max(axis=0)
        return replace(together, own=np.maximum(together.own, furthest))
    surest = np.min([np.hypot(colour.own, colour.card_light) for colour in read], axis=0)
    shrunk = np.minimum(1, surest / np.maximum(np.hypot(together.own, together.card_light), _NO_WIDTH))
    return replace(together, own=together.own * shrunk, card_light=together.card_light * shrunk)


def _by_hold(
    region: Region, faces: Sequence[OneOfSeveral], agreement: FaceAgreement | None
) -> list[list[ColourInParts]]:
    """Return a region as each hold of the card shows it, of the photographs in which it was read."""
    holds = range(len(faces)) if agreement is None else agreement.holds
    found: dict[int, list[ColourInParts]] = {}
    for hold, face in zip(holds, faces, strict=True):
        if region in face.colours:
            found.setdefault(hold, []).append(face.colours[region])
    return list(found.values())


def _measured(
    faces: Sequence[OneOfSeveral], colours: Mapping[Region, ColourInParts], notes: tuple[Reason, ...]
) -> FaceMeasurement:
    calibrated = all(face.basis is CalibrationBasis.CHART for face in faces)
    confirmed = [face.hair for face in faces if face.hair.measured]
    return FaceMeasurement(
        reasons=notes,
        basis=CalibrationBasis.CHART if calibrated else CalibrationBasis.GREY,
        regions={region: _region(region, faces, colours.get(region)) for region in Region},
        relative=differences_of(colours, calibrated),
        ita=typology_of(colours),
        chart=ChartFinding(),
        readings=readings_of(colours, absolute=True, calibrated=calibrated),
        asymmetry=asymmetry_of(colours, calibrated),
        hair=(confirmed or [faces[0].hair])[0],
    )


def _region(region: Region, faces: Sequence[OneOfSeveral], colour: ColourInParts | None) -> RegionColour:
    there = [face.regions[region] for face in faces]
    pixels = sum(one.pixels or 0 for one in there)
    if colour is None:
        return RegionColour(None, None, pixels, str(there[0].reason))
    caution = next((one.caution for one in there if one.caution), None)
    return RegionColour(colour.lab, colour.half_width_90, pixels, None, caution, colour)


def _refused(photographs: Sequence[OneOfSeveral], reasons: tuple[Reason, ...]) -> FaceMeasurement:
    why = _("none of the photographs was accepted")
    regions = {region: RegionColour(None, None, 0, why) for region in Region}
    return FaceMeasurement(
        reasons, CalibrationBasis.RELATIVE, regions, (), None, ChartFinding(), hair=photographs[0].hair
    )


# -- in words ----------------------------------------------------------------------------------------------------------


def _notes(photographs: Sequence[OneOfSeveral]) -> list[Reason]:
    """Return what is said of the photographs, each thing once, with the names of those that it is said of."""
    named: dict[Code, tuple[Reason, list[str]]] = {}
    for one in photographs:
        for reason in one.reasons:
            names = named.setdefault(reason.code, (reason, []))[1]
            names.append(one.name) if one.name not in names else None
    return [replace(reason, text=f"{in_a_row(names)}: {reason.text}") for reason, names in named.values()]


def _alone(photographs: Sequence[OneOfSeveral], only: OneOfSeveral) -> str:
    if len(photographs) == 1:
        return _("There is one photograph, {photograph}, so these are its own colours.", photograph=only.name)
    return _(
        "Only {photograph} counts of {count} photographs, so these are its own colours. The others are refused, or are "
        "the same photograph again. Take another one, with the card moved, to be surer.",
        photograph=only.name,
        count=len(photographs),
    )


def _text(agreement: FaceAgreement, faces: Sequence[OneOfSeveral], colours: Mapping[Region, ColourInParts]) -> str:
    """Return what the photographs come to, and how much surer their lightness is than that of one of them."""
    if not agreement.agree:
        return agreement.text
    skin = [region for region in SKIN if region in colours]
    if not skin:
        return agreement.text
    single = np.median([face.colours[r].half_width_90[0] for r in skin for face in faces if r in face.colours])
    both = np.median([colours[region].half_width_90[0] for region in skin])
    of_one, of_all = local_number(single, 1), local_number(both, 1)
    said = [agreement.text, _("The skin’s lightness is known to ±{half}.", half=of_all)]
    if of_one != of_all:
        said.append(_("From one of them it is known to ±{half}.", half=of_one))
    return " ".join(said)
