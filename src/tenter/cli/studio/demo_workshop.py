"""The workshop of `tenter demo`: papers on the invented studio's kit and light, readings, a drape's light on a face."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

from tenter import durable
from tenter.cli.shared.output_files import make_folder
from tenter.cli.studio.reflect import show_prediction

if TYPE_CHECKING:
    from tenter import Face, Kit, Method
    from tenter.consultation.readings.book import ReadingBook

_STUDIO: Final = "The North Room, Eddermouth"
_DRAPE: Final = "D062"  # whose light is predicted on a face: a strong cool red
_WIDE: Final = 100  # characters of a line of the answer


@dataclass(frozen=True, slots=True)
class WorkshopFile:
    """A file of the workshop, and what is in it, in a few words."""

    path: Path
    told: str


def write_workshop(folder: Path, day: str, face: "Face | None", whose: str) -> list[WorkshopFile]:
    """Write what the workshop says of the invented studio's kit and light into a folder, as on a day (ISO date).

    face: whose colours a drape's light changes, and whose it is; without one, nothing is said of that.
    """
    from tenter import Kit, Method

    kit, method = Kit.demo(), Method.bundled()
    make_folder(folder, "--out")
    book = _readings(folder / "kit.readings")
    return [
        WorkshopFile(folder / "kit.readings", "readings of 8 cloths on three days; one has faded"),
        _health(folder / "kit-health.pdf", kit, method, day, book),
        _labels(folder / "labels.pdf", kit, day),
        *_light(folder, kit, method, day),
        *(_reflected(folder, kit, face, whose) if face is not None else ()),
    ]


def _readings(path: Path) -> "ReadingBook":
    from tenter.consultation.readings.book import add_readings
    from tenter.consultation.readings.reading_files import demo_readings

    return add_readings(path, demo_readings()).book


def _health(path: Path, kit: "Kit", method: "Method", day: str, book: "ReadingBook") -> WorkshopFile:
    from tenter.report.workshop.checked_kit import checked_kit
    from tenter.report.workshop.kit_health import kit_health
    from tenter.report.workshop.workshop_paper import write_workshop_paper

    said = kit_health(checked_kit(kit, method, day, book), _STUDIO)
    write_workshop_paper(said, path)
    return WorkshopFile(path, f"kit health: {said.headline[0].lower()}{said.headline[1:]}")


def _labels(path: Path, kit: "Kit", day: str) -> WorkshopFile:
    from tenter.report.workshop.labels import label_pdf, label_sheets

    durable.write(path, label_pdf(label_sheets(kit.drapes), day)[0])
    return WorkshopFile(path, f"labels for all {len(kit)} cloths")


def _light(folder: Path, kit: "Kit", method: "Method", day: str) -> Iterator[WorkshopFile]:
    from tenter.light.check import check_light
    from tenter.light.light_values import values_of_spectrum
    from tenter.light.on_kit import light_on_kit
    from tenter.light.spectrum_files import demo_light
    from tenter.report.workshop.light_report import ReportedLight, light_report
    from tenter.report.workshop.workshop_paper import write_workshop_paper
    from tenter.report.workshop_pictures.light_picture import light_shown

    spectrum = demo_light()
    values = values_of_spectrum(spectrum)
    light = ReportedLight(
        check_light(values),
        effect=light_on_kit(spectrum.power, kit, method, {}),
        kit=kit,
        shown=light_shown(spectrum.power, values),
    )
    write_workshop_paper(light_report(light, day, _STUDIO), folder / "light-report.pdf")
    yield WorkshopFile(folder / "light-report.pdf", f"the studio's light. {light.check.headline}")


def _reflected(folder: Path, kit: "Kit", face: "Face", whose: str) -> Iterator[WorkshopFile]:
    from rich.console import Console

    from tenter.consultation.reflected.on_face import drape_surface, predict_on_face
    from tenter.report.pictures.reflected_map import reflected_map

    found = predict_on_face(face, drape_surface(kit, _DRAPE))
    answer, drawing = folder / "reflected-light.txt", folder / "reflected-light.svg"
    with answer.open("w", encoding="utf-8") as file:
        show_prediction(found, Console(file=file, width=_WIDE, highlight=False))
    drawing.write_text(reflected_map(found), encoding="utf-8")
    yield WorkshopFile(answer, f"what the light of {_DRAPE} is predicted to do to {whose}'s face")
    yield WorkshopFile(drawing, "where on the face it shows")
