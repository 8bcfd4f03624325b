"""The package as others get it: a source archive, the wheel made from it, and the demo run from that alone."""

import os
import shutil
import socket
import stat
import subprocess
import sys
import sysconfig
import tarfile
import time
import venv
import zipfile
from pathlib import Path
from urllib.error import URLError
from urllib.request import urlopen

import pytest

ROOT = Path(__file__).parents[2]
SOURCE = ROOT / "src"
BUILT_FROM = ("pyproject.toml", "MANIFEST.in", "README.md", "LICENSE", "ARCHITECTURE.md", "CHANGELOG.md", "docs", "src")
LEFT = shutil.ignore_patterns("__pycache__", "*.egg-info")


def files_of(folder):
    return {p.relative_to(folder) for p in folder.rglob("*") if p.is_file() and "__pycache__" not in p.parts}


def build(what, folder, out):
    """Build a wheel or a source archive without a network, and return where it is."""
    said = f"import setuptools.build_meta as b; print(b.build_{what}({str(out)!r}))"
    done = subprocess.run([sys.executable, "-c", said], cwd=folder, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return out / done.stdout.splitlines()[-1]


@pytest.fixture(scope="module")
def sdist(tmp_path_factory):
    """The source archive of this tree."""
    tree, out = tmp_path_factory.mktemp("tree"), tmp_path_factory.mktemp("sdist")
    for name in (*BUILT_FROM, "CONTRIBUTING.md", "SECURITY.md"):
        copy = shutil.copytree if (ROOT / name).is_dir() else shutil.copy
        copy(ROOT / name, tree / name, **({"ignore": LEFT} if copy is shutil.copytree else {}))
    return build("sdist", tree, out)


@pytest.fixture(scope="module")
def wheel(sdist, tmp_path_factory):
    """The wheel that the source archive builds, with nothing else at hand."""
    place = tmp_path_factory.mktemp("wheel")
    with tarfile.open(sdist) as archive:
        archive.extractall(place, filter="data")
    return build("wheel", place / sdist.name.removesuffix(".tar.gz"), place)


@pytest.fixture(scope="module")
def installed(wheel, tmp_path_factory):
    """Run a command of an environment that holds the wheel, and of this one only what the wheel depends on."""
    place = tmp_path_factory.mktemp("installed")
    venv.create(place / "env", with_pip=False)
    python = place / "env" / "bin" / "python"
    pip = [sys.executable, "-m", "pip", "--python", str(python), "install", "--quiet", "--no-deps", "--no-index"]
    subprocess.run([*pip, "--disable-pip-version-check", str(wheel)], check=True)
    [packages] = (place / "env" / "lib").glob("python*/site-packages")
    (packages / "dependencies.pth").write_text(sysconfig.get_path("purelib") + "\n", encoding="utf-8")
    (packages / "mediapipe.py").write_text("raise ImportError('as after a plain install')\n", encoding="utf-8")
    inherited = {k: v for k, v in os.environ.items() if not k.startswith(("PYTHON", "DJANGO", "TENTER", "DATABASE"))}

    def run(command, *said, start=subprocess.run, **options):
        options = {"capture_output": True, "check": False} | options if start is subprocess.run else options
        env = inherited | {"XDG_DATA_HOME": str(place / "data"), "COLUMNS": "100"} | options.pop("env", {})
        return start([python.with_name(command), *map(str, said)], cwd=place, env=env, text=True, **options)

    return run


def test_the_wheel_holds_every_file_of_the_program_and_nothing_else(wheel):
    with zipfile.ZipFile(wheel) as archive:
        held = {Path(name) for name in archive.namelist() if ".dist-info/" not in name}
    assert held == {p for p in files_of(SOURCE) if p.parts[0] == "tenter"}


def test_the_source_archive_holds_the_documents_and_no_tests(sdist):
    with tarfile.open(sdist) as archive:
        held = {Path(*Path(name).parts[1:]) for name in archive.getnames()}
    assert held >= {Path("docs") / p for p in files_of(ROOT / "docs")} | {
        Path("LICENSE"),
        Path("CHANGELOG.md"),
        Path("SECURITY.md"),
    }
    assert not {p.parts[0] for p in held if p.parts} & {"tests", "studies", ".venv", ".git"}


def test_what_is_installed_is_the_wheel(installed):
    done = installed("python", "-c", "import tenter; print(tenter.__file__)")
    assert not Path(done.stdout).is_relative_to(ROOT)
    assert "site-packages" in done.stdout


def test_the_demo_runs_from_the_wheel_and_says_that_no_face_is_measured(installed, tmp_path):
    done = installed("tenter", "demo", "--client", "K2", "--out", tmp_path)
    assert done.returncode == 0, done.stderr
    assert "the demo goes on without it: face measuring is not installed" in done.stderr
    assert {path.name for path in tmp_path.iterdir()} == {"K2", "studio", "workshop"}
    written = [path.name for path in (tmp_path / "K2").iterdir()]
    assert len(written) == 9
    assert all(name in done.stdout for name in written)
    assert "Traceback" not in done.stderr


@pytest.mark.parametrize(
    ("said", "answer"),
    [
        (("kit", "show"), "D096"),
        (("verdict", "--client", "K1"), "K1"),
        (("face", "measure", SOURCE / "tenter/demo_studio/portraits/K1.jpg"), "face measuring is not installed"),
    ],
    ids=lambda said: said[0] if isinstance(said, tuple) else "",
)
def test_commands_of_the_wheel_find_the_studio_and_say_what_is_missing(installed, said, answer):
    done = installed("tenter", *said)
    assert answer in done.stdout + done.stderr
    assert "Traceback" not in done.stderr
    assert done.returncode == (2 if "not installed" in answer else 0)


def test_the_version_is_the_packages(installed, wheel):
    done = installed("tenter", "--version")
    assert done.returncode == 0
    assert done.stdout == f"tenter {wheel.name.split('-')[1]}\n"


@pytest.fixture
def port():
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        return free.getsockname()[1]


def opened(address, server):
    for _ in range(300):
        try:
            with urlopen(address, timeout=5) as answer:
                return answer.url, answer.read().decode()
        except URLError:
            assert server.poll() is None, server.stderr.read()
            time.sleep(0.1)
    raise AssertionError(f"nothing answers at {address}")


def test_a_studio_is_served_from_the_wheel_and_an_empty_folder(installed, tmp_path, port):
    folder = tmp_path / "studio"
    left = folder / "passing" / "tmpface.upload"
    left.parent.mkdir(parents=True)
    folder.chmod(0o750)  # as its owner wants it
    left.write_bytes(b"a face, from a server that was killed")
    server = installed(
        "tenter-web",
        "--port",
        port,
        start=subprocess.Popen,
        stderr=subprocess.PIPE,
        env={"TENTER_DATA_DIR": str(folder)},
    )
    try:
        address, page = opened(f"http://127.0.0.1:{port}/", server)
        sheet = opened(f"http://127.0.0.1:{port}/static/tenter/tenter.css", server)[1]
    finally:
        server.terminate()
        said = server.communicate(timeout=20)[1]
    assert address.endswith("/welcome")
    assert not left.exists()
    assert "Open your studio" in page
    assert "--ink" in sheet
    assert f"http://127.0.0.1:{port}/" in said
    assert "Warning" not in said
    assert "Traceback" not in said
    assert stat.S_IMODE(folder.stat().st_mode) == 0o750
    assert stat.S_IMODE((folder / "tenter.sqlite3").stat().st_mode) == 0o600
    assert stat.S_IMODE((folder / "secret-key").stat().st_mode) == 0o600
