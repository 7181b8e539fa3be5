"""Resources and the demo must be found however the program was installed; a wheel is built here to see it.

No network: the wheel is built with the setuptools of this environment from a copy of the checkout.
"""

import json
import os
import shutil
import subprocess
import sys
import tomllib
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parents[1]
FOLDERS = ("shortgame_gui", "resources", "demo")
READ = """
import json, sys
from shortgame_gui import assets
print(json.dumps({
    "from": assets.__file__,
    "resources": {name: assets.data(name).hex() for name in assets.names()},
    "demo": {name: assets.demo_text(name) for name in assets.demo_files()},
}))
"""


def shipped(folder: str) -> list[str]:
    """What of a top-level folder belongs to the program, read without the code under test."""
    found = (ROOT / folder).rglob("*")
    names = (file.relative_to(ROOT / folder) for file in found if file.is_file())
    return sorted(
        name.as_posix()
        for name in names
        if name.suffix not in (".py", ".pyc") and name.parts[0] != "out" and "__pycache__" not in name.parts
    )


def read_assets(
    folder: Path, *, path: Path | None = None, options: tuple[str, ...] = ()
) -> dict[str, object]:
    """What `assets` reads in a process of its own that runs in `folder`, with `path` searched first."""
    env = {**os.environ, "PYTHONPATH": str(path)} if path else dict(os.environ)
    command = [sys.executable, "-W", "error", *options, "-c", READ]
    done = subprocess.run(command, cwd=folder, env=env, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


def check(answer: dict[str, object], place: Path) -> None:
    """The reader stood in `place` and read every shipped file as it is in the checkout."""
    assert Path(str(answer["from"])).is_relative_to(place)
    assert answer["resources"] == {
        name: (ROOT / "resources" / name).read_bytes().hex() for name in shipped("resources")
    }
    assert answer["demo"] == {name: (ROOT / "demo" / name).read_text("utf-8") for name in shipped("demo")}


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A wheel of the checkout as it is now."""
    copy = tmp_path_factory.mktemp("copy")
    for name in FOLDERS:
        shutil.copytree(ROOT / name, copy / name, ignore=shutil.ignore_patterns("__pycache__"))
    (copy / "demo" / "out").mkdir(exist_ok=True)
    (copy / "demo" / "out" / "drawn.txt").write_text("not to be shipped")
    for name in ("pyproject.toml", "README.md"):
        shutil.copy(ROOT / name, copy)
    target = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "pip", "--disable-pip-version-check", "wheel", "--quiet", "--no-index"]
    command += ["--no-deps", "--no-build-isolation", "--wheel-dir", str(target), str(copy)]
    done = subprocess.run(command, capture_output=True, text=True)
    assert done.returncode == 0, done.stdout + done.stderr
    (built,) = target.glob("*.whl")
    return built


def test_wheel_holds_exactly_the_program(wheel: Path) -> None:
    code = {
        file.relative_to(ROOT).as_posix()
        for file in (ROOT / "shortgame_gui").rglob("*")
        if file.is_file() and "__pycache__" not in file.parts
    }
    mapped = {
        f"shortgame_gui/{folder}/{file.relative_to(ROOT / folder).as_posix()}"
        for folder in ("resources", "demo")
        for file in [*(ROOT / folder).rglob("*.py"), *(ROOT / folder / name for name in shipped(folder))]
    }
    names = {name for name in zipfile.ZipFile(wheel).namelist() if ".dist-info/" not in name}
    assert names == code | mapped


def test_installed_wheel_reads_its_resources(wheel: Path, tmp_path: Path) -> None:
    zipfile.ZipFile(wheel).extractall(tmp_path / "site")
    check(read_assets(tmp_path, path=tmp_path / "site"), tmp_path / "site")


def test_wheel_on_the_path_reads_its_resources_without_unpacking(wheel: Path, tmp_path: Path) -> None:
    check(read_assets(tmp_path, path=wheel), wheel)


def test_editable_install_reads_the_checkout(tmp_path: Path) -> None:
    check(read_assets(tmp_path), ROOT)


def test_plain_checkout_reads_the_folders_beside_it(tmp_path: Path) -> None:
    """Without the site module nothing installed is seen; only the copy of the reader that is put in front."""
    for name in FOLDERS:
        shutil.copytree(ROOT / name, tmp_path / name, ignore=shutil.ignore_patterns("__pycache__", "out"))
    check(read_assets(tmp_path, path=tmp_path, options=("-S",)), tmp_path)


def test_missing_names_are_said() -> None:
    from shortgame_gui import assets

    for read in (assets.text, assets.data, assets.demo_text):
        with pytest.raises(FileNotFoundError, match=r"no/such\.json"):
            read("no/such.json")


def test_every_package_is_listed() -> None:
    listed = set(
        tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["setuptools"]["packages"]
    )
    code = {".".join(file.parent.relative_to(ROOT).parts) for file in (ROOT / "shortgame_gui").rglob("*.py")}
    assert listed == code | {"shortgame_gui.resources", "shortgame_gui.demo"}
