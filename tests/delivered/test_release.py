"""Cutting a release: refused in words until all is ready, then two archives of what is committed and a tag."""

import re
import shutil
import subprocess
import sys
import tarfile
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PROJECT = """[build-system]
requires = ["setuptools"]
build-backend = "setuptools.build_meta"

[project]
name = "swatch"
version = "0.2.0"

[tool.setuptools.packages.find]
where = ["src"]
"""
CHANGES = "# Changes\n\n## Unreleased\n\n## 0.2.0 (2026-12-01)\n\n- Cloths can be counted.\n\n## 0.1.0\n\n- Cloths.\n"


class Repository:
    """A small project under git, with the script in it."""

    def __init__(self, place):
        self.place = place
        self.write("pyproject.toml", PROJECT)
        self.write("CHANGELOG.md", CHANGES)
        self.write("README.md", "Swatch\n")
        self.write(".gitignore", "build/\n*.egg-info/\nstray.py\n")
        self.write("src/swatch/__init__.py", "")
        (place / ".ci").mkdir()
        shutil.copy(ROOT / ".ci/release", place / ".ci/release")
        self.git("init", "--quiet", "--initial-branch=main")
        self.commit()

    def write(self, name, text):
        path = self.place / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")

    def git(self, *said):
        who = ("-c", "user.name=Test", "-c", "user.email=test@localhost", "-c", "commit.gpgsign=false")
        return subprocess.run(
            ["git", *who, *said], cwd=self.place, capture_output=True, text=True, check=True
        ).stdout.strip()

    def commit(self):
        self.git("add", "--all")
        self.git("commit", "--quiet", "--allow-empty", "--message", "as it is")

    def release(self, *said):
        who = {f"GIT_{role}_{what}": "test" for role in ("AUTHOR", "COMMITTER") for what in ("NAME", "EMAIL")}
        return subprocess.run(
            [sys.executable, ".ci/release", *said],
            cwd=self.place,
            capture_output=True,
            text=True,
            check=False,
            env={"PATH": "/usr/bin:/bin"} | who,
        )


@pytest.fixture
def repository(tmp_path):
    return Repository(tmp_path)


def test_a_release_is_built_from_the_commit_and_tagged_with_its_entry(repository):
    repository.write("src/swatch/stray.py", "ignored by git, and no part of the program")
    done = repository.release("0.2.0")
    assert done.returncode == 0, done.stderr
    out = repository.place / "build/release/0.2.0"
    with tarfile.open(out / "swatch-0.2.0.tar.gz") as archive:
        names = archive.getnames()
    assert "swatch-0.2.0/src/swatch/__init__.py" in names
    with zipfile.ZipFile(out / "swatch-0.2.0-py3-none-any.whl") as wheel:
        names += wheel.namelist()
    assert "swatch/__init__.py" in names
    assert not any("stray" in name for name in names)
    assert {line.split()[-1] for line in done.stdout.splitlines()[:2]} == {
        str(path.relative_to(repository.place)) for path in out.iterdir()
    }
    assert repository.git("rev-parse", "v0.2.0^{commit}") == repository.git("rev-parse", "HEAD")
    assert "Cloths can be counted." in repository.git("tag", "--list", "v0.2.0", "--format=%(contents)")


def left_over(repository):
    repository.write("notes.txt", "not committed")


def changed_since(repository):
    repository.write("CHANGELOG.md", CHANGES.replace("## Unreleased\n", "## Unreleased\n\n- More.\n"))
    repository.commit()


def without_entry(repository):
    repository.write("CHANGELOG.md", CHANGES.replace("0.2.0", "0.1.9"))
    repository.commit()


def of_another_version(repository):
    repository.write("pyproject.toml", PROJECT.replace("0.2.0", "0.2.0.dev0"))
    repository.commit()


def tagged_already(repository):
    repository.git("tag", "v0.2.0")


@pytest.mark.parametrize(
    ("make", "said"),
    [
        (left_over, "The tree is not clean. Commit or remove:\n?? notes.txt"),
        (changed_since, 'has changes under "Unreleased"'),
        (without_entry, "has no entry for this version"),
        (of_another_version, "has version 0.2.0.dev0. Set it to 0.2.0"),
        (tagged_already, "There is a tag v0.2.0 already"),
    ],
)
def test_what_is_not_ready_is_said_and_nothing_is_made(repository, make, said):
    make(repository)
    before = repository.git("tag", "--list")
    done = repository.release("0.2.0")
    assert done.returncode == 1
    assert said in done.stderr
    assert not (repository.place / "build").exists()
    assert repository.git("tag", "--list") == before


@pytest.mark.parametrize(
    ("given", "code", "said"),
    [
        (("two",), 1, "'two' is no version"),
        (("0.2",), 1, "'0.2' is no version"),
        (("v0.2.0",), 1, "'v0.2.0' is no version"),
        ((), 2, "usage: ./run release VERSION"),
        (("0.2.0", "again"), 2, "usage: ./run release VERSION"),
    ],
)
def test_what_is_no_version_is_refused(repository, given, code, said):
    done = repository.release(*given)
    assert done.returncode == code
    assert said in done.stderr
    assert "Traceback" not in done.stderr
    assert repository.git("tag", "--list") == ""


def test_the_changelog_and_the_package_tell_of_one_version():
    project = tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    headings = re.findall(r"^## (\S+)", (ROOT / "CHANGELOG.md").read_text(encoding="utf-8"), flags=re.MULTILINE)
    if ".dev" in project["version"]:
        assert headings[0] == "Unreleased"
    else:
        assert project["version"] in headings[:2]
    assert "urls" not in project
