"""What is handed in: a fixed top level, and nothing in it that only this or that machine has."""

import re
import subprocess
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
TOP = {"README.md", "DEVELOPERS.md", "pyproject.toml", "shortgame_gui", "tests", "resources", "demo"}

# Written so that the patterns do not find themselves.
FORBIDDEN = {
    "a path of one machine": r"(?<![\w.~*])/(?:work|tmp|root|home)\b",
    "a folder outside the checkout": r"\.\./share[d]",
    "a registry's host": r"\b(?:pypi|pythonhosted|npmjs|anaconda)[.](?:org|com)\b|\bdebian[.]org\b",
    "a source that is not ours to name": r"(?i)transcrip[t]|\bsee[d][ _-]document|\bvide[o]\b|vide[o]-\d",
}


def tracked() -> list[str]:
    """Names of the files under version control, whoever owns the checkout."""
    command = ["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True)
    return [name for name in done.stdout.split("\0") if name and (ROOT / name).is_file()]


def test_top_level_holds_only_what_it_should() -> None:
    names = {name.split("/")[0] for name in tracked()}
    assert {name for name in names if not name.startswith(".")} == TOP


@pytest.mark.parametrize("what", FORBIDDEN)
def test_no_tracked_file_mentions(what: str) -> None:
    pattern = re.compile(FORBIDDEN[what])
    found = []
    for name in tracked():
        if pattern.search(name):
            found.append(f"the file name {name}")
        try:
            lines = (ROOT / name).read_text(encoding="utf-8").splitlines()
        except UnicodeDecodeError:
            continue  # a picture
        found += [
            f"{name}:{number}: {line.strip()}" for number, line in enumerate(lines, 1) if pattern.search(line)
        ]
    assert not found, "\n".join(found)


@pytest.mark.parametrize(
    ("what", "text"),
    [
        ("a path of one machine", "read /" + "tmp/figures.json"),
        ("a folder outside the checkout", "see ../" + "shared/design"),
        ("a registry's host", "https://pypi" + ".org/simple"),
        ("a source that is not ours to name", "as the Tran" + "script says"),
    ],
)
def test_patterns_find_what_they_are_for(what: str, text: str) -> None:
    assert re.search(FORBIDDEN[what], text)


def test_ci_runs_the_test_command_of_the_readme() -> None:
    command = "python3 demo/start.py test"
    assert f"\n    {command}\n" in (ROOT / "README.md").read_text(encoding="utf-8")
    lines = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()
    code = [line for line in lines if line and not line.startswith("#")]
    assert code == [f'cd "$(dirname "$0")/.." && exec {command}']
    assert (ROOT / ".ci" / "run").stat().st_mode & 0o111
