"""What the README says of `./run` and points to is there; tests/test_docs_examples.py runs its commands."""

import re
import subprocess
from pathlib import Path

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def test_the_path_to_tenter_is_where_the_set_up_puts_it():
    run = (ROOT / "run").read_text(encoding="utf-8")
    assert 'export PATH="$PWD/.venv/bin:$PATH" ' in README
    assert "VENV=.venv\n" in run
    assert 'exec "$VENV/bin/tenter" demo "$@"' in run


def test_what_run_is_told_in_the_readme_it_knows():
    told = {line.split()[1] for line in re.findall(r"^\./run .*", README, re.MULTILINE)}
    usage = subprocess.run([ROOT / "run"], capture_output=True, text=True, check=True).stderr
    assert told >= {"demo", "serve", "test"}
    assert all(f" {word}" in usage for word in told)


def test_what_the_readme_points_to_is_there():
    pointed = re.findall(r"\]\(([^)#]+)\)", README)
    assert len(pointed) > 10
    assert [name for name in pointed if not (ROOT / name).exists()] == []
