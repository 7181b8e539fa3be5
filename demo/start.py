"""Sets everything up on a machine that has only Python, then does the main job or runs the tests.

    python3 demo/start.py             open the window on the invented course; without a display, print
                                      the advice for one of its situations and draw the window to a file
    python3 demo/start.py test ...    run all tests without a display; further words go to pytest

Python's standard library only: it runs before anything is installed. Order: system packages (Debian and its
relatives), virtual environment in .venv, the program in it, then the job. A stamp in .venv makes the second
run quick; a check that the libraries really import makes a half-built .venv mend itself.
"""

import ctypes
import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from collections.abc import Mapping, Sequence
from pathlib import Path

ROOT = Path(__file__).resolve().parents[1]
VENV = ROOT / ".venv"
STAMP = VENV / "shortgame-stamp"
# Not sys.version, which also tells the day of the build: apt-get may bring a newer one under our feet.
PYTHON = sys.version.split()[0]
PICTURE = ROOT / "demo" / "out" / "window.png"

# Shared libraries that the Qt wheels expect from the system, and the Debian package of each. Read from the
# wheels with `readelf -d`; what these packages depend on in turn is left to Debian.
FOR_QT = {
    "libEGL.so.1": "libegl1",
    "libGL.so.1": "libgl1",
    "libX11.so.6": "libx11-6",  # also wanted by the platform that draws without a display
    "libdbus-1.so.3": "libdbus-1-3",
    "libfontconfig.so.1": "libfontconfig1",
    "libfreetype.so.6": "libfreetype6",
    "libglib-2.0.so.0": "libglib2.0-0",
    "libxkbcommon.so.0": "libxkbcommon0",
}
FOR_A_DISPLAY = {
    "libX11-xcb.so.1": "libx11-xcb1",
    "libwayland-client.so.0": "libwayland-client0",
    "libwayland-cursor.so.0": "libwayland-cursor0",
    "libwayland-egl.so.1": "libwayland-egl1",
    "libxcb-cursor.so.0": "libxcb-cursor0",
    "libxcb-icccm.so.4": "libxcb-icccm4",
    "libxcb-image.so.0": "libxcb-image0",
    "libxcb-keysyms.so.1": "libxcb-keysyms1",
    "libxcb-randr.so.0": "libxcb-randr0",
    "libxcb-render-util.so.0": "libxcb-render-util0",
    "libxcb-render.so.0": "libxcb-render0",
    "libxcb-shape.so.0": "libxcb-shape0",
    "libxcb-shm.so.0": "libxcb-shm0",
    "libxcb-sync.so.1": "libxcb-sync1",
    "libxcb-util.so.1": "libxcb-util1",
    "libxcb-xfixes.so.0": "libxcb-xfixes0",
    "libxcb-xkb.so.1": "libxcb-xkb1",
    "libxkbcommon-x11.so.0": "libxkbcommon-x11-0",
}
FONT_FOLDERS = (Path("/usr/share/fonts"), Path("/usr/local/share/fonts"), Path.home() / ".local/share/fonts")
FONT_PACKAGE = "fonts-dejavu-core"  # without any font Qt draws empty boxes

USAGE = "usage: python3 demo/start.py            set up, then do the main job\n" + (
    "       python3 demo/start.py test [...]  set up, then run all tests; further words go to pytest"
)


class Stop(Exception):
    """The set-up cannot go on; its text says what to do."""


def say(line: str) -> None:
    """Progress, at once even when the output goes to a file."""
    print(line, flush=True)


def has_display(env: Mapping[str, str], platform: str = sys.platform) -> bool:
    """Whether a window can be opened. Windows and the Mac always have a desktop."""
    if platform in ("win32", "darwin"):
        return True
    return bool(env.get("DISPLAY") or env.get("WAYLAND_DISPLAY"))


# --- system packages ---------------------------------------------------------------------------------------


def loads(library: str) -> bool:
    """Whether the dynamic linker finds the shared library."""
    try:
        ctypes.CDLL(library)
    except OSError:
        return False
    return True


def missing_packages(display: bool) -> list[str]:
    """Debian packages that this Linux machine still needs. Looks for what they bring, not for their names,
    so that a library that came another way counts too."""
    libraries = FOR_QT | (FOR_A_DISPLAY if display else {})
    packages = [package for library, package in libraries.items() if not loads(library)]
    if not any(file.is_file() for folder in FONT_FOLDERS for file in folder.rglob("*.[to]tf")):
        packages.append(FONT_PACKAGE)
    if importlib.util.find_spec("ensurepip") is None:
        packages.insert(0, f"python3.{sys.version_info.minor}-venv")
    return packages


def way_to_install(packages: Sequence[str], *, root: bool, terminal: bool, sudo: bool) -> tuple[str, str]:
    """How to install `packages` with apt-get: what to do ("run", "ask" or "print") and the shell line."""
    line = f"apt-get update && apt-get install -y --no-install-recommends {' '.join(packages)}"
    if root:
        return "run", line
    if not sudo:
        return "print", f'su -c "{line}"'
    return ("ask" if terminal else "print"), f"sudo sh -c '{line}'"


def install_packages(display: bool) -> None:
    """Installs what is missing, or stops with the line to run."""
    packages = missing_packages(display)
    if not packages:
        say("[1/3] System packages: all there")
        return
    say(f"[1/3] System packages missing: {' '.join(packages)}")
    if shutil.which("apt-get") is None:
        venv_missing = importlib.util.find_spec("ensurepip") is None
        advice = "Install them by the names that your system has for them, and start again."
        if venv_missing:
            raise Stop(advice)
        say(f"      The window may not open. {advice}")
        return
    how, line = way_to_install(
        packages,
        root=os.geteuid() == 0,
        terminal=sys.stdin.isatty() and sys.stdout.isatty(),
        sudo=shutil.which("sudo") is not None,
    )
    if how == "ask":
        say(f"      To be run: {line}")
        try:
            answer = input("      Run it now? [y/N] ")
        except EOFError:
            answer = ""
        if answer.strip().lower() not in ("y", "yes"):
            how = "print"
    if how == "print":
        raise Stop(f"Run this line, then start again:\n\n    {line}\n")
    if subprocess.call(["sh", "-c", line], env=os.environ | {"DEBIAN_FRONTEND": "noninteractive"}) != 0:
        raise Stop(f"apt-get failed; its message is above. The line was:\n\n    {line}\n")


# --- virtual environment -----------------------------------------------------------------------------------


def venv_python() -> Path:
    """The interpreter inside the virtual environment."""
    return VENV / ("Scripts/python.exe" if os.name == "nt" else "bin/python")


def stamp_text(extra: str) -> str:
    """What is written once everything is installed; `extra` is "test" or empty. It changes with what
    pyproject.toml asks for, with the interpreter and with the checkout's place."""
    asked = (ROOT / "pyproject.toml").read_bytes()
    key = hashlib.sha256(asked + f"\n{PYTHON}\n{ROOT}".encode()).hexdigest()
    return f"{key} {extra}\n"


def stamp_fits(found: str, extra: str) -> bool:
    """Whether the stamp `found` has what is needed: an environment for tests also serves without them."""
    return found in (stamp_text(extra), stamp_text("test"))


def read_stamp() -> str:
    """The stamp of the last complete set-up, or nothing."""
    try:
        return STAMP.read_text(encoding="utf-8")
    except (OSError, UnicodeDecodeError):
        return ""


def runs(code: str) -> bool:
    """Whether the environment's interpreter exists and runs `code` to a good end; quiet."""
    try:
        return subprocess.run([str(venv_python()), "-c", code], cwd=ROOT, capture_output=True).returncode == 0
    except OSError:
        return False


def imports(extra: str) -> bool:
    """Whether what was installed really imports."""
    code = "import msgspec, numpy, pyqtgraph, PySide6.QtWidgets, shortgame_gui.assets"
    return runs(code + (", hypothesis, importlinter, mypy, pytest, pytestqt, scipy, xdist" if extra else ""))


def build(extra: str, *, anew: bool) -> None:
    """Installs the program into the environment, which is first made anew if asked."""
    if anew:
        say(f"[2/3] Making the virtual environment {VENV.name}")
        if VENV.is_symlink() or VENV.is_file():
            VENV.unlink()
        if subprocess.call([sys.executable, "-m", "venv", "--clear", str(VENV)]) != 0:
            raise Stop("Python could not make a virtual environment; its message is above.")
    say("[2/3] Installing the program and what it needs (some 150 MB the first time)")
    what = f".[{extra}]" if extra else "."
    pip = [str(venv_python()), "-m", "pip", "--disable-pip-version-check", "install", "--editable", what]
    if subprocess.call(pip, cwd=ROOT) != 0:
        raise Stop("Installing failed; pip's message is above. Is the network there? Then start again.")


def prepare(extra: str) -> None:
    """Brings .venv to what is needed: at once if its stamp fits, in place if it is sound, else anew."""
    found = read_stamp()
    if stamp_fits(found, extra) and imports(extra):
        say("[2/3] Virtual environment: ready")
        return
    if found.endswith(" test\n"):
        extra = "test"  # do not lose the libraries of the tests when the program's own change
    STAMP.unlink(missing_ok=True)
    sound = runs(f"import pip, sys; sys.exit(sys.version.split()[0] != {PYTHON!r})")
    for anew in (False, True) if sound else (True,):
        build(extra, anew=anew)
        if imports(extra):
            STAMP.write_text(stamp_text(extra), encoding="utf-8")
            return
        say("[2/3] What was installed does not import")
    raise Stop(f"Set-up failed. This shows why:\n\n    {venv_python()} -c 'import PySide6.QtWidgets'\n")


# --- the job -----------------------------------------------------------------------------------------------


def offscreen(env: Mapping[str, str]) -> dict[str, str]:
    """The environment for a run without a display."""
    return {**env, "QT_QPA_PLATFORM": "offscreen"}


def first_situation() -> Path:
    """The situation shown when there is no display."""
    found = sorted((ROOT / "demo" / "situations").glob("*.json"))
    if not found:
        raise Stop("demo/situations holds no situation: the checkout is not complete.")
    return found[0]


def main_job(display: bool) -> int:
    """Opens the window, or prints the advice and draws the window to a file."""
    program = [str(venv_python()), "-m", "shortgame_gui"]
    if display:
        say("[3/3] Opening the window")
        return subprocess.call(program, cwd=ROOT)
    situation = first_situation().relative_to(ROOT).as_posix()
    say(f"[3/3] No display: the advice for {situation}")
    status = subprocess.call([*program, "advise", situation], cwd=ROOT, env=offscreen(os.environ))
    if status != 0:
        return status
    PICTURE.parent.mkdir(parents=True, exist_ok=True)
    picture = PICTURE.relative_to(ROOT).as_posix()
    status = subprocess.call(
        [*program, "picture", situation, "--out", picture], cwd=ROOT, env=offscreen(os.environ)
    )
    if status == 0:
        say(f"A picture of the window is in {picture}")
    return status


def run_tests(words: Sequence[str]) -> int:
    """All tests on up to four cores; `words` come last so that they win."""
    say("[3/3] Running the tests")
    pytest = [str(venv_python()), "-m", "pytest", "-n", "auto", "--maxprocesses", "4", "--dist", "worksteal"]
    return subprocess.call([*pytest, *words], cwd=ROOT, env=offscreen(os.environ))


def main(arguments: Sequence[str]) -> int:
    """Exit status of the job; 1 when the set-up has to stop; 2 for words that mean nothing."""
    testing = list(arguments[:1]) == ["test"]
    if arguments and not testing:
        print(USAGE, file=sys.stdout if arguments[0] in ("-h", "--help") else sys.stderr)
        return 0 if arguments[0] in ("-h", "--help") else 2
    if sys.version_info < (3, 11):  # noqa: UP036 -- the one file that an older Python may be asked to run
        print("Python 3.11 or later is needed; this is " + PYTHON, file=sys.stderr)
        return 1
    display = has_display(os.environ) and not testing
    try:
        if sys.platform.startswith("linux"):
            install_packages(display)
        else:
            say("[1/3] System packages: none needed here")
        prepare("test" if testing else "")
        return run_tests(arguments[1:]) if testing else main_job(display)
    except Stop as stop:
        print(stop, file=sys.stderr)
        return 1
    except KeyboardInterrupt:
        return 130


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
