"""What is installed: the program's lock and the tests' are apart, agree with each other, and name no host."""

import re
import tomllib
from itertools import combinations
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
LOCK = ROOT / "lock"
PINS = re.compile(r"^([a-z0-9][a-z0-9.-]*)==([^ ]+)(?: ; [^\\]*)? \\$", re.MULTILINE)
LOCKS = ("runtime", "development", "docs", "bench")
FACE_MODEL_AND_BUILDER = {"mediapipe", "setuptools"}
FOR_DEVELOPMENT = {
    "ruff",
    "mypy",
    "django-stubs",
    "pre-commit",
    "hypothesis",
    "coverage",
    "colour-science",
    "coloraide",
}


def text_of(lock):
    return (LOCK / f"{lock}.lock").read_text(encoding="utf-8")


def pinned(lock):
    """Return the version of each package of a lock."""
    return dict(PINS.findall(text_of(lock)))


def names(requirements):
    """Return the packages that lines of requirements name, in one spelling."""
    found = (re.match(r"[A-Za-z0-9._-]+", line) for line in requirements)
    return {one.group().lower().replace("_", "-") for one in found if one}


def wanted(lock):
    return names((LOCK / f"{lock}.in").read_text(encoding="utf-8").splitlines())


@pytest.fixture(scope="module")
def project():
    return tomllib.loads((ROOT / "pyproject.toml").read_text(encoding="utf-8"))["project"]


def test_the_runtime_lock_is_asked_for_what_the_package_needs(project):
    needs = names((ROOT / "src/tenter/photo/data/face_model_needs.txt").read_text(encoding="utf-8").splitlines())
    assert wanted("runtime") == names(project["dependencies"]) | needs | FACE_MODEL_AND_BUILDER


def test_no_tool_of_a_developer_is_in_the_runtime_lock():
    tools = {name for name in pinned("runtime") if name.startswith(("pytest", "playwright", "sphinx", "types-"))}
    assert tools | pinned("runtime").keys() & (FOR_DEVELOPMENT | wanted("development")) == set()
    assert pinned("development").keys() > FOR_DEVELOPMENT | {"pytest", "playwright"}


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_has_what_is_asked_for_with_a_hash_each(lock):
    assert wanted(lock) <= pinned(lock).keys()
    entries = re.split(r"\n(?=[a-z0-9])", text_of(lock).strip())
    assert len(entries) == len(pinned(lock))
    assert [one.splitlines()[0] for one in entries if "--hash=sha256:" not in one] == []


@pytest.mark.parametrize("lock", LOCKS)
def test_a_lock_names_no_host(lock):
    assert re.findall(r"\w+://\S+|^\s*-.*(?:index|links|host).*", text_of(lock), flags=re.MULTILINE) == []


@pytest.mark.parametrize(("lock", "below"), list(combinations(reversed(LOCKS), 2)))
def test_what_two_locks_have_is_of_one_version(lock, below):
    ours, theirs = pinned(lock), pinned(below)
    shared = ours.keys() & theirs.keys()
    assert {name: ours[name] for name in shared} == {name: theirs[name] for name in shared}


def commands_of(function, run):
    """Return the lines of a function of ./run."""
    [body] = re.findall(rf"^{function}\(\) \{{\n(.*?)^\}}", run, flags=re.MULTILINE | re.DOTALL)
    return [line.strip() for line in body.splitlines()]


def branches(run):
    """Return what ./run does by the word that it is told."""
    return dict(re.findall(r"^([a-z |]+)\)\n(.*?)^    ;;", run, flags=re.MULTILINE | re.DOTALL))


RUN = (ROOT / "run").read_text(encoding="utf-8")


@pytest.mark.parametrize("word", ["demo", "serve", "backup | restore | sweep"])
def test_whoever_uses_the_program_installs_the_runtime_lock_alone(word):
    assert branches(RUN)[word].split()[0] == "set_up"
    assert "development" not in " ".join(commands_of("set_up", RUN))


@pytest.mark.parametrize(
    ("word", "by"), [("test", "set_up_docs"), ("docs", "set_up_docs"), ("check", "set_up_development")]
)
def test_whoever_tests_installs_both(word, by):
    assert branches(RUN)[word].split()[0] == by
    assert commands_of("set_up_development", RUN)[0] == "set_up"
    assert commands_of("set_up_docs", RUN)[0] == "set_up_development"
    assert commands_of("set_up_bench", RUN)[0] == "set_up_development"


def test_the_hooks_before_a_commit_are_the_commands_of_run_check():
    hooks = (ROOT / ".pre-commit-config.yaml").read_text(encoding="utf-8")
    entries = re.findall(r"^\s+entry: (.*)$", hooks, flags=re.MULTILINE)
    assert entries == [line.replace('"$VENV/', ".venv/").replace('"', "") for line in commands_of("check", RUN)]
    assert len(entries) == 3
    assert re.findall(r"repo: (.*)", hooks) == ["local"]
    assert re.findall(r"language: (.*)", hooks) == ["system"] * len(entries)
    assert re.findall(r"pass_filenames: (.*)", hooks) == ["false"] * len(entries)


def test_continuous_integration_runs_the_whole_test_and_nothing_weaker():
    lines = (ROOT / ".ci/run").read_text(encoding="utf-8").splitlines()
    assert lines[-1] == "exec ./run test"
