"""The decisions of demo/start.py; that it works on a bare system is seen by running it there."""

import ast
import importlib.util
import sys
from pathlib import Path
from types import ModuleType
from typing import Any

import pytest

ROOT = Path(__file__).resolve().parents[1]


@pytest.fixture
def start(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The script, with an environment folder of its own that does not exist yet."""
    spec = importlib.util.spec_from_file_location("start_under_test", ROOT / "demo" / "start.py")
    assert spec is not None and spec.loader is not None
    module = importlib.util.module_from_spec(spec)
    spec.loader.exec_module(module)
    monkeypatch.setattr(module, "VENV", tmp_path / "venv")
    monkeypatch.setattr(module, "STAMP", tmp_path / "venv" / "shortgame-stamp")
    return module


class Calls(list[list[str]]):
    """Stands in for subprocess.call: keeps the commands and succeeds, unless one is told to fail."""

    fail = ""

    def __call__(self, command: list[str], **_: object) -> int:
        self.append([str(word) for word in command])
        return int(bool(self.fail) and self.fail in " ".join(self[-1]))


@pytest.fixture
def calls(start: ModuleType, monkeypatch: pytest.MonkeyPatch) -> Calls:
    calls = Calls()
    monkeypatch.setattr(start.subprocess, "call", calls)
    return calls


def test_script_needs_only_the_standard_library() -> None:
    tree = ast.parse((ROOT / "demo" / "start.py").read_text(encoding="utf-8"))
    names = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    names |= {str(node.module) for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    assert {name.split(".")[0] for name in names} <= sys.stdlib_module_names


@pytest.mark.parametrize(
    ("env", "platform", "expected"),
    [
        ({}, "linux", False),
        ({"DISPLAY": ""}, "linux", False),
        ({"DISPLAY": ":0"}, "linux", True),
        ({"WAYLAND_DISPLAY": "wayland-0"}, "linux", True),
        ({}, "darwin", True),
        ({}, "win32", True),
    ],
)
def test_display_is_found(start: ModuleType, env: dict[str, str], platform: str, expected: bool) -> None:
    assert start.has_display(env, platform) is expected


@pytest.mark.parametrize(
    ("root", "terminal", "sudo", "expected"),
    [
        (True, False, False, "run"),
        (True, True, True, "run"),
        (False, True, True, "ask"),
        (False, False, True, "print"),
        (False, True, False, "print"),
        (False, False, False, "print"),
    ],
)
def test_who_may_install(start: ModuleType, root: bool, terminal: bool, sudo: bool, expected: str) -> None:
    how, line = start.way_to_install(["libegl1", "libgl1"], root=root, terminal=terminal, sudo=sudo)
    assert how == expected
    assert "apt-get install -y --no-install-recommends libegl1 libgl1" in line
    assert line.startswith("apt-get update" if root else 'su -c "' if not sudo else "sudo ")


@pytest.fixture
def on_debian(start: ModuleType, monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """A Debian where one library is missing, with sudo; who runs the script is up to the test."""
    monkeypatch.setattr(start, "missing_packages", lambda display: ["libegl1"])
    monkeypatch.setattr(start.shutil, "which", lambda name: f"bin/{name}")
    return start


def be(
    start: ModuleType, monkeypatch: pytest.MonkeyPatch, *, root: bool, terminal: bool, answer: str = ""
) -> None:
    monkeypatch.setattr(start.os, "geteuid", lambda: 0 if root else 1000)
    for stream in ("stdin", "stdout"):
        monkeypatch.setattr(getattr(start.sys, stream), "isatty", lambda: terminal, raising=False)
    # Without a terminal a question would wait for ever: there the stand-in fails.
    monkeypatch.setattr("builtins.input", lambda _: answer if terminal and not root else pytest.fail("asked"))


def test_root_installs_without_a_question(
    on_debian: ModuleType, calls: Calls, monkeypatch: pytest.MonkeyPatch
) -> None:
    be(on_debian, monkeypatch, root=True, terminal=True)
    on_debian.install_packages(False)
    assert len(calls) == 1 and "apt-get install" in calls[0][-1] and "sudo" not in calls[0][-1]


@pytest.mark.parametrize(("answer", "runs"), [("y", True), ("YES", True), ("", False), ("n", False)])
def test_user_with_a_terminal_is_asked(
    on_debian: ModuleType, calls: Calls, monkeypatch: pytest.MonkeyPatch, answer: str, runs: bool
) -> None:
    be(on_debian, monkeypatch, root=False, terminal=True, answer=answer)
    if runs:
        on_debian.install_packages(False)
        assert len(calls) == 1 and calls[0][-1].startswith("sudo ")
    else:
        with pytest.raises(on_debian.Stop, match="sudo sh -c 'apt-get update"):
            on_debian.install_packages(False)
        assert not calls


def test_user_without_a_terminal_gets_the_line_and_status_1(
    on_debian: ModuleType, calls: Calls, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    be(on_debian, monkeypatch, root=False, terminal=False)
    monkeypatch.setattr(on_debian.sys, "platform", "linux")
    assert on_debian.main(["test"]) == 1
    assert "sudo sh -c 'apt-get update && apt-get install" in capsys.readouterr().err
    assert not calls


def test_failed_package_manager_stops(
    on_debian: ModuleType, calls: Calls, monkeypatch: pytest.MonkeyPatch
) -> None:
    be(on_debian, monkeypatch, root=True, terminal=False)
    calls.fail = "apt-get"
    with pytest.raises(on_debian.Stop, match="apt-get failed"):
        on_debian.install_packages(False)


def test_missing_things_are_named_by_their_debian_package(
    start: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start, "loads", lambda library: library not in ("libEGL.so.1", "libxcb-cursor.so.0"))
    monkeypatch.setattr(start.importlib.util, "find_spec", lambda name: None)
    monkeypatch.setattr(start, "FONT_FOLDERS", ())
    venv = f"python3.{sys.version_info.minor}-venv"
    assert start.missing_packages(display=False) == [venv, "libegl1", "fonts-dejavu-core"]
    assert start.missing_packages(display=True) == [venv, "libegl1", "libxcb-cursor0", "fonts-dejavu-core"]


def test_libraries_that_are_there_are_told_from_others(start: ModuleType) -> None:
    there = {"linux": "libc.so.6", "darwin": "libSystem.dylib", "win32": "kernel32"}[sys.platform]
    assert start.loads(there) and not start.loads("libno-such-thing.so.9")


class Environment:
    """Stands in for .venv: what works in it, what was done to it, and what an installation mends."""

    def __init__(self, start: ModuleType, monkeypatch: pytest.MonkeyPatch) -> None:
        self.sound = self.importable = False
        self.in_place_helps = self.anew_helps = True
        self.built: list[tuple[str, bool]] = []
        self.start = start
        monkeypatch.setattr(start, "build", self.build)
        monkeypatch.setattr(start, "imports", lambda extra: self.importable)
        monkeypatch.setattr(start, "runs", lambda code: self.sound)

    def build(self, extra: str, *, anew: bool) -> None:
        self.built.append((extra, anew))
        self.start.VENV.mkdir(exist_ok=True)
        self.importable = self.anew_helps if anew else self.in_place_helps
        self.sound = True


@pytest.fixture
def environment(start: ModuleType, monkeypatch: pytest.MonkeyPatch) -> Environment:
    return Environment(start, monkeypatch)


def test_first_run_builds_and_second_does_nothing(
    start: ModuleType, environment: Environment, capsys: pytest.CaptureFixture[str]
) -> None:
    start.prepare("test")
    assert environment.built == [("test", True)]
    start.prepare("test")
    start.prepare("")
    assert environment.built == [("test", True)]
    assert capsys.readouterr().out.count("Virtual environment: ready") == 2


def test_sound_environment_is_completed_in_place(start: ModuleType, environment: Environment) -> None:
    environment.sound = True
    start.prepare("")
    start.prepare("test")
    assert environment.built == [("", False), ("test", False)]


def test_broken_libraries_mend_themselves(start: ModuleType, environment: Environment) -> None:
    """As when files were lost that pip believes to be there: the stamp fits, pip does nothing."""
    start.prepare("test")
    environment.built.clear()
    environment.importable = environment.in_place_helps = False
    start.prepare("test")
    assert environment.built == [("test", False), ("test", True)]
    assert start.stamp_fits(start.read_stamp(), "test")


def test_lost_interpreter_means_anew(start: ModuleType, environment: Environment) -> None:
    start.prepare("test")
    environment.built.clear()
    environment.sound = environment.importable = False
    start.prepare("test")
    assert environment.built == [("test", True)]


def test_hopeless_set_up_stops_without_a_stamp(start: ModuleType, environment: Environment) -> None:
    environment.anew_helps = False
    with pytest.raises(start.Stop, match="Set-up failed"):
        start.prepare("")
    assert start.read_stamp() == ""


def test_change_of_the_program_keeps_the_libraries_of_the_tests(
    start: ModuleType, environment: Environment, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    start.prepare("test")
    (tmp_path / "pyproject.toml").write_text("another")
    monkeypatch.setattr(start, "ROOT", tmp_path)
    environment.built.clear()
    start.prepare("")
    assert environment.built == [("test", False)]


def test_stamp_follows_what_is_asked_for(
    start: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(start, "ROOT", tmp_path)
    (tmp_path / "pyproject.toml").write_text("one")
    run, test = start.stamp_text(""), start.stamp_text("test")
    assert start.stamp_fits(run, "") and start.stamp_fits(test, "") and start.stamp_fits(test, "test")
    assert not start.stamp_fits(run, "test") and not start.stamp_fits("", "")
    (tmp_path / "pyproject.toml").write_text("two")
    assert not start.stamp_fits(test, "test")
    (tmp_path / "pyproject.toml").write_text("one")
    monkeypatch.setattr(start, "PYTHON", "3.99.0")
    assert not start.stamp_fits(test, "test")


def test_interpreter_that_cannot_run_is_seen(
    start: ModuleType, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert not start.runs("pass")
    python = tmp_path / "python"
    python.write_text("half a file")
    monkeypatch.setattr(start, "venv_python", lambda: python)
    assert not start.runs("pass")
    monkeypatch.setattr(start, "venv_python", lambda: sys.executable)
    assert start.runs("pass") and not start.runs("import no_such_module")


def test_building_anew_clears_and_installs(start: ModuleType, calls: Calls) -> None:
    start.VENV.write_text("not even a folder")
    start.build("test", anew=True)
    assert not start.VENV.exists()
    assert calls[0] == [sys.executable, "-m", "venv", "--clear", str(start.VENV)]
    assert calls[1][1:3] == ["-m", "pip"] and calls[1][-2:] == ["--editable", ".[test]"]
    calls.fail = " pip "
    with pytest.raises(start.Stop, match="Installing failed"):
        start.build("", anew=False)


def test_tests_run_offscreen_with_their_words_and_status(
    start: ModuleType, monkeypatch: pytest.MonkeyPatch
) -> None:
    seen: dict[str, Any] = {}

    def call(command: list[str], **options: Any) -> int:
        seen.update(options, command=command)
        return 5

    monkeypatch.setattr(start, "install_packages", lambda display: seen.update(display=display))
    monkeypatch.setattr(start, "prepare", lambda extra: seen.update(extra=extra))
    monkeypatch.setattr(start.subprocess, "call", call)
    monkeypatch.setenv("DISPLAY", ":0")
    assert start.main(["test", "-k", "lie"]) == 5
    assert seen["extra"] == "test" and seen["command"][-2:] == ["-k", "lie"]
    assert seen["env"]["QT_QPA_PLATFORM"] == "offscreen"
    if sys.platform == "linux":
        assert seen["display"] is False


@pytest.mark.parametrize("display", [True, False])
def test_main_job_follows_the_display(start: ModuleType, calls: Calls, display: bool) -> None:
    assert start.main_job(display) == 0
    words = [command[3:] for command in calls]
    situation = start.first_situation().relative_to(ROOT).as_posix()
    picture = ["picture", situation, "--out", "demo/out/window.png"]
    assert words == ([[]] if display else [["advise", situation], picture])


def test_failed_advice_is_the_status(start: ModuleType, calls: Calls) -> None:
    calls.fail = "advise"
    assert start.main_job(False) == 1
    assert len(calls) == 1


@pytest.mark.parametrize(("words", "status"), [(["--help"], 0), (["tets"], 2)])
def test_other_words_get_the_usage(
    start: ModuleType, words: list[str], status: int, capsys: pytest.CaptureFixture[str]
) -> None:
    assert start.main(words) == status
    out, err = capsys.readouterr()
    assert "demo/start.py test" in (err if status else out)
