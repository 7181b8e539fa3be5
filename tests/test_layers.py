"""The rule that matters most, executed: arrows between packages point one way and Qt stays at the edge."""

import ast
import shutil
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
PACKAGE = ROOT / "shortgame_gui"
LINT = "import sys; from importlinter.cli import lint_imports; sys.exit(lint_imports(no_cache=True))"


def lint(folder: Path) -> subprocess.CompletedProcess[str]:
    """Runs the import contracts of pyproject.toml on the package in `folder`."""
    return subprocess.run([sys.executable, "-c", LINT], cwd=folder, capture_output=True, text=True)


def test_contracts_hold() -> None:
    done = lint(ROOT)
    assert done.returncode == 0, done.stdout + done.stderr


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("physics/__init__.py", "import PySide6.QtCore"),
        ("physics/__init__.py", "import shortgame_gui.advice"),
        ("advice/__init__.py", "import pathlib"),
        ("store/__init__.py", "import shortgame_gui.desktop"),
        ("desktop/__init__.py", "import shortgame_gui.cli"),
    ],
)
def test_contracts_bite(module: str, line: str, tmp_path: Path) -> None:
    shutil.copytree(PACKAGE, tmp_path / "shortgame_gui", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(ROOT / "pyproject.toml", tmp_path)
    changed = tmp_path / "shortgame_gui" / module
    changed.write_text(changed.read_text(encoding="utf-8") + f"\n{line}\n", encoding="utf-8")
    done = lint(tmp_path)
    assert done.returncode != 0
    assert "BROKEN" in done.stdout


BLOCKED = """
import importlib, pkgutil, sys

class Block:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] in ("PySide6", "shiboken6", "pyqtgraph"):
            raise ImportError(f"{name} is blocked")

sys.meta_path.insert(0, Block())
import shortgame_gui
names = []
for found in pkgutil.walk_packages(shortgame_gui.__path__, "shortgame_gui."):
    if found.name.split(".")[1] not in ("desktop", "report", "resources", "demo"):
        importlib.import_module(found.name)
        names.append(found.name)
print(*names)
"""


def test_everything_below_the_desktop_imports_with_qt_blocked() -> None:
    """The front door is among them: that it opens the window inside a function only is checked here."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", BLOCKED], cwd=ROOT, capture_output=True, text=True
    )
    assert done.returncode == 0, done.stderr
    imported = set(done.stdout.split())
    below = ("cli", "__main__", "units", "assets", "model", "physics", "advice", "store", "words")
    assert imported >= {f"shortgame_gui.{name}" for name in below}


def test_model_physics_and_advice_open_no_file() -> None:
    """`open` is a builtin and NumPy brings its own readers, so an import contract cannot see them."""
    readers = {
        "open",
        "load",
        "loadtxt",
        "genfromtxt",
        "fromfile",
        "memmap",
        "save",
        "savez",
        "savetxt",
        "tofile",
    }
    found = []
    for layer in ("model", "physics", "advice"):
        for file in sorted((PACKAGE / layer).rglob("*.py")):
            for node in ast.walk(ast.parse(file.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Call):
                    name = getattr(node.func, "id", getattr(node.func, "attr", None))
                    if name in readers:
                        found.append(f"{file.relative_to(ROOT)}:{node.lineno} calls {name}")
    assert not found
