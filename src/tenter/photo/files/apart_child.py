"""The process that unpacks pictures for another one: what it may do, and how it answers; `apart.py` asks it."""

import importlib
import io
import json
import os
import signal
import sys
from typing import IO, Any

import cv2
import numpy as np
from PIL import ExifTags, Image, ImageCms

from tenter.errors import UnreadableInput
from tenter.language import ENGLISH, Catalogue, written_in
from tenter.photo.decoders.decoded import MIN_SIDE, Unpacked, refusing
from tenter.photo.files.apart import CAN_COPY, GO, PICTURES_EACH, READY
from tenter.translations import catalogue, known_languages

MEMORY_BYTES = (
    1_250_000_000  # of address space, libraries counted; the largest picture that is read takes four fifths of it
)
_WELL = 7  # how a copy ends that has answered; a library that ends the process says something else


def unpack_for_another() -> None:
    """Unpack picture after picture for whoever has started this process, until they are gone or one has gone wrong."""
    asked, out = os.fdopen(0, "rb"), os.fdopen(os.dup(1), "wb")
    os.dup2(2, 1)  # what a library prints goes nowhere
    _get_ready()
    if CAN_COPY:
        signal.signal(signal.SIGTERM, lambda *_: sys.exit())  # and the copy at work with it
    out.write(READY)
    out.flush()
    one = _in_a_copy if CAN_COPY else _answer
    while os.read(0, len(GO)) == GO and one(asked, out):
        pass


def _get_ready() -> None:
    """Load whatever unpacking may need: a copy that is at work may open no file, not even a module's.

    Some of it is loaded by a library with its first picture only. No thread is left by that, or a copy might hang.
    """
    cv2.setNumThreads(1)
    Image.init()
    # rawpy asks for the first
    for module in ("multiprocessing", *(f"tenter.photo.decoders.{name}" for name in ("raw", "heif", "codes"))):
        importlib.import_module(module)
    unpack = importlib.import_module("tenter.photo.decoders.unpacking").unpack
    exif = Image.Exif()
    exif[ExifTags.Base.Orientation] = 1
    for kind in ("JPEG", "PNG", "WebP", "TIFF"):
        sample = io.BytesIO()
        profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
        Image.new("RGB", (MIN_SIDE, MIN_SIDE)).save(sample, kind, exif=exif, icc_profile=profile)
        unpack(sample.getvalue(), "", kind, MIN_SIDE)


def _in_a_copy(asked: IO[bytes], out: IO[bytes]) -> bool:
    """Answer in a copy of this process, which ends with the picture; return whether it ended well."""
    copy = os.fork()
    if copy:
        try:
            _, status = os.waitpid(copy, 0)
        except SystemExit:
            os.kill(copy, signal.SIGKILL)
            os.waitpid(copy, 0)
            raise
        return os.waitstatus_to_exitcode(status) == _WELL
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    well = False
    try:
        well = _answer(asked, out)
    finally:
        os._exit(_WELL if well else 1)


def _answer(asked: IO[bytes], out: IO[bytes]) -> bool:
    """Unpack the picture that is asked for, and write what became of it: a line of JSON, then numbers."""
    job = json.loads(asked.readline())
    content = asked.read(job["size"])
    module, function = job["by"].split(":")
    unpack = getattr(importlib.import_module(module), function)
    words = _words(job["language"])
    _set_limits(float(job["seconds"]))
    try:
        with written_in(words), refusing(""):
            _write(out, unpack(content, "", job["kind"], job["longest"]))
    except UnreadableInput as refusal:
        out.write(json.dumps({"problem": refusal.problem, "remedy": refusal.remedy}).encode() + b"\n")
    out.flush()
    return True


def _words(code: str) -> Catalogue:
    """Return the catalogue of the language that a refusal is to be in; English where this process has none of it."""
    return catalogue(code) if code in known_languages() else ENGLISH


def _write(out: IO[bytes], found: Unpacked) -> None:
    head = {
        "shape": found.values.shape,
        "dtype": found.values.dtype.name,
        "reduction": found.reduction,
        "notes": found.notes,
        "jpeg_step": found.jpeg_step,
        "orientation": found.orientation,
        "focal_35mm": found.focal_35mm,
    }
    out.write(json.dumps(head).encode() + b"\n")
    out.write(np.ascontiguousarray(found.values).data)


def _set_limits(seconds: float) -> None:
    try:
        resource: Any = importlib.import_module("resource")
    except ImportError:  # Windows has none
        return
    wanted = {
        resource.RLIMIT_AS: MEMORY_BYTES,
        resource.RLIMIT_CPU: (int(seconds) + 1) * (1 if CAN_COPY else PICTURES_EACH),  # should nobody stop it
        resource.RLIMIT_FSIZE: 0,  # no file is written
        resource.RLIMIT_NOFILE: 0,  # none is opened, and no way to another machine
        resource.RLIMIT_CORE: 0,  # and no photograph left in the image of a dead process
    }
    for kind, most in wanted.items():
        _, hard = resource.getrlimit(kind)
        allowed = most if hard == resource.RLIM_INFINITY else min(most, hard)
        try:
            resource.setrlimit(kind, (allowed, allowed))
        except (ValueError, OSError):  # macOS knows some of them and takes none
            if sys.platform == "linux":
                raise
