"""Many photographs at once: several processes, one result a photograph, and a summary; no bad file stops the rest."""

import csv
import io
import json
import os
import re
import signal
from collections.abc import Callable, Iterable, Iterator, Sequence
from concurrent.futures import ProcessPoolExecutor, as_completed
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from dataclasses import dataclass
from enum import StrEnum
from multiprocessing import get_context
from pathlib import Path
from typing import TYPE_CHECKING, Any

from tenter.errors import TenterError, UnreadableInput

if TYPE_CHECKING:
    from tenter.photo.cards import CardChoice
    from tenter.photo.face.result import FaceMeasurement
    from tenter.photo.files.loading import Photo
    from tenter.photo.regions.request import FaceRequest

SUFFIXES = frozenset(
    {".jpg", ".jpeg", ".png", ".webp", ".tif", ".tiff", ".heic", ".heif", ".dng", ".nef", ".cr2", ".cr3", ".arw"}
)
SUMMARY = "summary.csv"


class PhotoOutcome(StrEnum):
    """What became of one photograph."""

    MEASURED = "measured"
    REFUSED = "refused"
    UNREADABLE = "unreadable"
    CRASHED = "crashed"


@dataclass(frozen=True, slots=True)
class PhotoResult:
    """One photograph's: its document, or in words what was wrong with the file. kept: found from an earlier run."""

    path: Path
    outcome: PhotoOutcome
    document: dict[str, Any] | None
    problem: str
    kept: bool = False

    @classmethod
    def of(cls, path: Path, document: dict[str, Any], kept: bool = False) -> "PhotoResult":
        """Return what became of a photograph by its document; raises `NotAMeasurement` where it is none of a face."""
        from tenter.measured.written_face import WrittenFace

        face = WrittenFace.from_json(document)
        outcome = PhotoOutcome.MEASURED if face.accepted else PhotoOutcome.REFUSED
        said = "" if face.accepted else "; ".join(reason.text for reason in face.reasons or ())
        return cls(path, outcome, document, said, kept)


@dataclass(frozen=True, slots=True)
class Found:
    """The photographs under what was named, in natural order, and how many other files were passed over."""

    photographs: tuple[Path, ...]
    passed_over: int


def find_photographs(named: Iterable[Path], leave_out: Iterable[Path] = ()) -> Found:
    """Return the photographs among files and below folders; a folder's hidden files and links to folders are left out.

    leave_out: folders, below which nothing is looked for.

    Raises
    ------
    TenterError
        If something named is not there.
    """
    photographs: dict[Path, None] = {}
    passed_over = 0
    outside = [folder.absolute() for folder in leave_out]
    for path in named:
        if not path.exists():
            raise TenterError(f"there is no {path}; name photographs, or a folder that holds them")
        for file in _files_below(path) if path.is_dir() else [path]:
            if any(file.absolute().is_relative_to(folder) for folder in outside):
                continue
            if file is path or (file.suffix.lower() in SUFFIXES and file.is_file()):  # a pipe would wait for ever
                photographs.setdefault(file)
            else:
                passed_over += 1
    return Found(tuple(sorted(photographs, key=_natural)), passed_over)


def _files_below(folder: Path) -> list[Path]:
    found = []
    for place, folders, files in os.walk(folder):  # does not follow links, so that a loop of them ends
        folders[:] = [name for name in folders if not name.startswith(".")]
        found += [Path(place) / name for name in files if not name.startswith(".")]
    return found


def shown_name(path: Path) -> str:
    """Return a file's name as text that can be written anywhere; bytes that are no UTF-8 become question marks."""
    return os.fsencode(path).decode("utf-8", errors="replace")


def _natural(path: Path) -> list[tuple[int, str]]:
    """Return a key by which photo 2 comes before photo 10."""
    return [(int(part), "") if part.isdigit() else (-1, part.lower()) for part in re.split(r"(\d+)", str(path))]


def result_file(photograph: Path, out: Path) -> Path:
    """Return where a photograph's document is written."""
    return out / f"{photograph.name}.json"


def kept_result(photograph: Path, out: Path) -> PhotoResult | None:
    """Return the result of an earlier run, if it is younger than the photograph and whole."""
    file = result_file(photograph, out)
    try:
        if file.stat().st_mtime < photograph.stat().st_mtime:
            return None
        return PhotoResult.of(photograph, json.loads(file.read_text(encoding="utf-8")), kept=True)
    except (OSError, ValueError, RecursionError, TenterError):
        return None


def measure_one(path: Path, choice: "CardChoice", request: "FaceRequest", pictures: Path | None = None) -> PhotoResult:
    """Return what became of one photograph; whatever its file does to the decoders is said and not raised.

    pictures: where a picture of what was measured goes, if anywhere.
    """
    try:
        return PhotoResult.of(path, measured_and_drawn(path, choice, request, pictures).to_json())
    except UnreadableInput as problem:  # without the file's name, which stands beside it wherever this is said
        return PhotoResult(path, PhotoOutcome.UNREADABLE, None, f"{problem.problem}. {problem.remedy}")
    except TenterError as problem:
        return PhotoResult(path, PhotoOutcome.UNREADABLE, None, str(problem))
    except Exception as problem:  # one photograph's trouble is not the next one's
        return PhotoResult(
            path, PhotoOutcome.CRASHED, None, f"measuring ended with {type(problem).__name__}: {problem}"
        )


def measured_and_drawn(
    path: Path, choice: "CardChoice", request: "FaceRequest", pictures: Path | None
) -> "FaceMeasurement":
    """Measure one photograph, and draw what was measured into the folder `pictures`, if any; raises `TenterError`."""
    from tenter.photo.face.measure import measure_face
    from tenter.photo.files.loading import load_photo

    photo = load_photo(path)
    measured = measure_face(photo, choice, request)
    if pictures is not None:
        _draw(measured, photo, path, pictures)
    return measured


def _draw(measured: "FaceMeasurement", photo: "Photo", path: Path, pictures: Path) -> None:
    from tenter.report.pictures.face_drawing import draw_face_picture
    from tenter.report.pictures.face_picture import face_picture

    drawn = draw_face_picture(face_picture(measured, photo, shown_name(Path(path.stem))), photo)
    (pictures / f"{path.name}.png").write_bytes(drawn)


def measure_many(paths: Sequence[Path], measure: Callable[[Path], PhotoResult], jobs: int) -> Iterator[PhotoResult]:
    """Yield each photograph's result as it comes, from `jobs` processes; a process that dies takes one photograph.

    measure: what is done with one, picklable, as `functools.partial` of `measure_one` is.
    """
    if jobs == 1:
        yield from (measure(path) for path in paths)
        return
    left = dict.fromkeys(paths)
    try:
        for result in _as_they_come(paths, measure, jobs):
            left.pop(result.path)
            yield result
    except BrokenProcessPool:
        yield from (_alone(path, measure) for path in left)  # which of them it was is found out one by one


def _as_they_come(paths: Sequence[Path], measure: Callable[[Path], PhotoResult], jobs: int) -> Iterator[PhotoResult]:
    pool = _pool(jobs)
    try:
        with _deaf_to_ctrl_c():
            waiting = [pool.submit(measure, path) for path in paths]
        for done in as_completed(waiting):
            yield done.result()
    finally:
        pool.shutdown(cancel_futures=True)  # of a run that is stopped, only what is under way is waited for


@contextmanager
def _deaf_to_ctrl_c() -> Iterator[None]:
    """Let processes that start meanwhile ignore Ctrl-C, which the terminal sends to them too: the first one decides."""
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _alone(path: Path, measure: Callable[[Path], PhotoResult]) -> PhotoResult:
    try:
        with _pool(1) as pool:
            return pool.submit(measure, path).result()
    except BrokenProcessPool:
        return PhotoResult(
            path, PhotoOutcome.CRASHED, None, "the process that measured it died; the file may be broken"
        )


def _pool(jobs: int) -> ProcessPoolExecutor:
    return ProcessPoolExecutor(jobs, mp_context=get_context("spawn"))  # mediapipe does not outlive a fork


# -- what is written ---------------------------------------------------------------------------------------------------

_COLUMNS = ("photograph", "outcome", "L", "a", "b", "ita_degrees", "ita_class", "reasons")
_TYPICAL = "forehead"


def write_result(result: PhotoResult, out: Path) -> None:
    """Write a photograph's document beside the others, whole or not at all."""
    if result.document is None or result.kept:
        return
    file = result_file(result.path, out)
    half = file.with_suffix(".half")
    half.write_text(json.dumps(result.document) + "\n", encoding="utf-8")
    half.replace(file)


def summary_csv(results: Sequence[PhotoResult]) -> str:
    """Return the table of a run: one row a photograph, the forehead's colour for the face's."""
    text = io.StringIO()
    writer = csv.writer(text)
    writer.writerow(_COLUMNS)
    writer.writerows(_row(result) for result in results)
    return text.getvalue()


def _row(result: PhotoResult) -> list[object]:
    from tenter.measured.written_face import WrittenFace

    first = [shown_name(result.path), result.outcome]
    if result.document is None:
        return [*first, "", "", "", "", "", result.problem]
    face = WrittenFace.from_json(result.document)
    lab = face.colours[_TYPICAL].lab if _TYPICAL in face.colours else None
    ita = ("", "") if face.ita is None else (face.ita.degrees, face.ita.ita_class)
    said = " ".join(reason.code for reason in face.reasons or ())
    return [*first, *(lab or ("", "", "")), *ita, said or result.problem]
