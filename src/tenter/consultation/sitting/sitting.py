"""The sitting: what a script or a screen holds in its hand."""

from tenter.consultation.client.face import Face
from tenter.consultation.conventions.method import Method
from tenter.consultation.findings.translation import Translation, read_under
from tenter.consultation.findings.verdict import Verdict, verdict
from tenter.consultation.palette.palette import Palette, palette
from tenter.consultation.reading.plan import HeldSoFar
from tenter.consultation.reading.reading import Reading, given_face


class Sitting(Reading):
    """One client's judgements under one kit and method, with the verdict and the palette that follow from them.

    Everything but `record`, `void`, `undo` and `look_at` only reads.
    """

    _told: tuple[HeldSoFar, Verdict] | None = None

    def look_at(self, face: Face | None) -> None:
        """Go by another measured face from now on, or by none. It lends no prior."""
        given_face(face)
        if face != self.face:
            self.face, self._told = face, None

    def verdict(self) -> Verdict:
        """Return the verdict; raises `PhaseMissing`, naming what is owed, before undertone and clarity or depth."""
        held = self.held  # without what was shown after the verdict, which changes nothing of it
        if self._told is None or self._told[0] != held:
            self._told = (held, verdict(self))
        return self._told[1]

    def read_under(self, method: Method) -> Translation:
        """Return what the sitting comes to under another method."""
        return read_under(self, method)

    def palette(self) -> Palette:
        """Return the personal palette; raises `PhaseMissing` as `verdict` does."""
        return palette(self, self.verdict())
