"""The front door: parse the command line, answer in text, or open the window. Imports no Qt by itself.

The engine and the reports are imported by the commands that need them, so that the window is up sooner.
"""

from __future__ import annotations

import argparse
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import NoReturn, TypeVar

import msgspec

from shortgame_gui.model.club import Bag
from shortgame_gui.model.player import LEVELS, TECHNIQUES
from shortgame_gui.model.situation import Situation
from shortgame_gui.store.documents import DocumentError, packaged_bag, read_bag, read_situation
from shortgame_gui.units import parse
from shortgame_gui.words.numbers import Style

Document = TypeVar("Document")
BAD_INPUT = 2
COMMANDS = ("advise", "trace", "report", "picture", "map")


class _Parser(argparse.ArgumentParser):
    """Says what is wrong in one line on standard error and leaves with status 2."""

    def error(self, message: str) -> NoReturn:
        print(f"{self.prog}: {message}", file=sys.stderr)
        raise SystemExit(BAD_INPUT)


def _quantity(kind: str, low: float, high: float) -> Callable[[str], float]:
    def read(text: str) -> float:
        try:
            value = parse(text, kind)
        except ValueError as error:
            raise argparse.ArgumentTypeError(str(error)) from error
        if not low <= value <= high:
            raise argparse.ArgumentTypeError(f"{text!r} is not between {low:g} and {high:g} (SI)")
        return value

    return read


def _whole(low: int, high: int) -> Callable[[str], int]:
    def read(text: str) -> int:
        try:
            value = int(text)
        except ValueError as error:
            raise argparse.ArgumentTypeError(f"{text!r} is not a whole number") from error
        if not low <= value <= high:
            raise argparse.ArgumentTypeError(f"{text!r} is not between {low} and {high}")
        return value

    return read


AXIS_NAMES = (
    "distance", "green_to_work_with", "carry", "green_speed", "firmness", "slope", "lie_slope", "lie", "wind",
    "level",
)  # fmt: skip
"""The axes of a map; `advice.axes.AXES`, which is not imported before it is needed."""


def _technique(text: str) -> str:
    code = text.strip().lower().replace("-", "_").replace(" ", "_")
    if code not in TECHNIQUES:
        raise argparse.ArgumentTypeError(f"{text!r} is not one of {', '.join(TECHNIQUES)}")
    return code


def _size(text: str) -> tuple[int, int]:
    width, _, height = text.partition("x")
    if not (
        width.isdigit() and height.isdigit() and 400 <= int(width) <= 8000 and 300 <= int(height) <= 8000
    ):
        raise argparse.ArgumentTypeError(f"{text!r} is not a size such as 1280x800")
    return int(width), int(height)


def parser() -> argparse.ArgumentParser:
    """The command line's grammar."""
    top = _Parser(
        prog="shortgame", description="Short-game advisor: which club, which shot, where to land it."
    )
    sub = top.add_subparsers(dest="command", required=True, parser_class=_Parser)
    common = _Parser(add_help=False)
    common.add_argument("file", help="situation file (JSON)")
    common.add_argument("--bag", metavar="FILE", help="bag file (JSON); the usual twelve clubs without it")
    common.add_argument("--player", metavar="LEVEL", choices=LEVELS, help=f"level: {', '.join(LEVELS)}")
    common.add_argument("--metres", action="store_true", help="metres instead of yards and feet")

    ask = sub.add_parser("advise", parents=[common], help="rank the shots for a situation")
    ask.add_argument("--json", action="store_true", help="print one JSON object instead of a table")
    ask.add_argument("--samples", type=_whole(2, 100_000), metavar="N", help="samples of a contender")
    ask.add_argument(
        "--seed", type=_whole(0, 2**63 - 1), default=1, metavar="N", help="seed of the random draws"
    )

    follow = sub.add_parser("trace", parents=[common], help="follow one unperturbed shot link by link")
    follow.add_argument("--club", required=True, metavar="NAME", help="club in the bag")
    follow.add_argument(
        "--technique", required=True, type=_technique, metavar="NAME", help="way of playing it"
    )
    how = follow.add_mutually_exclusive_group(required=True)
    how.add_argument(
        "--land", type=_quantity("length", 0.1, 150.0), metavar="M", help="carry, for example 5 or 20yd"
    )
    how.add_argument(
        "--finish", type=_quantity("length", 0.1, 150.0), metavar="M", help="where it should stop"
    )
    how.add_argument(
        "--head-speed", type=_quantity("speed", 0.05, 70.0), metavar="M_S", help="speed of the head"
    )
    follow.add_argument("--csv", action="store_true", help="print the points of the path")

    card = sub.add_parser("report", parents=[common], help="print the shot card, one page, as PDF")
    card.add_argument("--out", required=True, metavar="X.pdf", help="PDF file")

    chart = sub.add_parser("map", parents=[common], help="map when the answer changes over two conditions")
    for side in ("x", "y"):
        chart.add_argument(f"--{side}", required=True, metavar="AXIS", help="one of " + ", ".join(AXIS_NAMES))
        chart.add_argument(
            f"--{side}-range",
            metavar="A:B:N",
            help="from, to and how many, such as 5yd:30yd:20; or names: a,b",
        )
    chart.add_argument("--out", required=True, metavar="X.png|X.svg|X.csv", help="picture, or table")
    chart.add_argument("--samples", type=_whole(2, 100_000), metavar="N", help="samples of a contender")
    chart.add_argument(
        "--seed", type=_whole(0, 2**63 - 1), default=1, metavar="N", help="seed of the random draws"
    )
    chart.add_argument("--size", type=_size, default=(1280, 800), metavar="WxH", help="size of the picture")

    draw = sub.add_parser("picture", parents=[common], help="write a picture of the window")
    draw.add_argument("--out", required=True, metavar="X.png", help="picture file")
    draw.add_argument("--size", type=_size, default=(1280, 800), metavar="WxH", help="size of the window")
    draw.add_argument("--theme", choices=("light", "dark"), default="light")
    return top


def _named(path: str, reader: Callable[[Path], Document]) -> Document:
    """What ``reader`` makes of the file, its name in front of what is wrong with it."""
    try:
        return reader(Path(path))
    except DocumentError as error:
        raise DocumentError(f"{path}: {error}") from error


def read(args: argparse.Namespace) -> tuple[Situation, Bag]:
    """The situation and bag that the arguments name; raises DocumentError."""
    situation = _named(args.file, read_situation)
    if args.player:
        player = msgspec.structs.replace(situation.player, level=args.player)
        situation = msgspec.structs.replace(situation, player=player)
    bag = _named(args.bag, read_bag) if args.bag else packaged_bag()
    return situation, bag


def run(args: argparse.Namespace) -> int:
    """Carry out one parsed command; returns the exit status."""
    situation, bag = read(args)
    style = Style(yards=not args.metres)
    if args.command == "picture":
        from shortgame_gui.desktop.app import picture

        picture(situation, bag, Path(args.out), args.size, args.theme, yards=style.yards)
        return 0
    from shortgame_gui.advice.advise import advise
    from shortgame_gui.advice.trace import Unreachable, trace
    from shortgame_gui.report.text import advice_json, advice_table, trace_csv, trace_text
    from shortgame_gui.store import coefficients

    table = coefficients.load()
    if args.command == "advise":
        advice = advise(situation, bag, table, samples=args.samples, seed=args.seed)
        print(advice_json(advice) if args.json else advice_table(advice, style))
        return 0
    if args.command == "map":
        return write_map(args, situation, bag, style.yards)
    if args.command == "report":
        from shortgame_gui.report.card import Card
        from shortgame_gui.report.page import pdf, ready_to_paint

        out = out_path(args.out, ".pdf")
        ready_to_paint()
        made = pdf(Card(advise(situation, bag, table), style).sheet())
        try:
            out.write_bytes(made)
        except OSError as error:
            raise DocumentError(f"--out: {args.out} cannot be written: {error.strerror}") from error
        return 0
    try:
        club = bag.find(args.club)
    except KeyError as error:
        raise DocumentError(f"--club: {error.args[0]}") from error
    try:
        traced = trace(
            situation,
            table,
            club,
            args.technique,
            land=args.land,
            finish=args.finish,
            head_speed=args.head_speed,
        )
    except Unreachable as error:
        raise DocumentError(f"--land, --finish or --head-speed: {error}") from error
    print(trace_csv(traced) if args.csv else trace_text(traced, situation, table))
    return 0


def out_path(name: str, *ends: str) -> Path:
    """Where to write; raises DocumentError, before anything is worked out, where that cannot be."""
    out = Path(name)
    if out.suffix not in ends:
        said = " or ".join(part for part in (", ".join(ends[:-1]), ends[-1]) if part)
        raise DocumentError(f"--out: {out.name} must end in {said}")
    if not out.parent.is_dir():
        raise DocumentError(f"--out: there is no folder {out.parent}")
    return out


def write_map(args: argparse.Namespace, situation: Situation, bag: Bag, yards: bool) -> int:
    """Fill the map that the arguments name and write it; returns the exit status. Raises DocumentError."""
    from shortgame_gui.advice.map import SAMPLES, checked, fill
    from shortgame_gui.report.map_csv import map_csv
    from shortgame_gui.store import coefficients
    from shortgame_gui.words.map_range import scale_of

    out = out_path(args.out, ".png", ".svg", ".csv")
    try:
        x = scale_of(situation, args.x, args.x_range)
        y = scale_of(situation, args.y, args.y_range)
        checked(x, y)
    except ValueError as error:
        raise DocumentError(f"--x, --y: {error}") from error
    made = fill(situation, bag, coefficients.load(), x, y, samples=args.samples or SAMPLES, seed=args.seed)
    try:
        if out.suffix == ".csv":
            out.write_text(map_csv(made, yards=yards), encoding="utf-8")
        else:
            from shortgame_gui.report.map_picture import write_picture

            write_picture(made, out, args.size, Style(yards=yards))
    except OSError as error:
        raise DocumentError(f"--out: {out} cannot be written: {error.strerror}") from error
    return 0


def open_window(path: str | None) -> int:
    """Open the window on ``path``, or on what it had open last."""
    # What the window takes of the engine comes before Qt: later, PySide reads the source of every module that
    # is imported, which takes 0.1 s.
    from shortgame_gui.advice import difference, map  # noqa: F401
    from shortgame_gui.desktop import app

    return app.open_window(Path(path) if path else None)


def _joined(words: list[str]) -> list[str]:
    """``words`` with a range that begins with a minus tied to its option, or it would look like another."""
    out: list[str] = []
    for word in words:
        if out and out[-1] in ("--x-range", "--y-range") and word[:1] == "-" and word[:2] != "--":
            out[-1] += f"={word}"
        else:
            out.append(word)
    return out


def main(argv: Sequence[str] | None = None) -> int:
    """Entry point: exit status 0, or 2 with one line on standard error for a bad file or argument."""
    words = _joined(list(sys.argv[1:] if argv is None else argv))
    try:
        if not words or (words[0] not in COMMANDS and not words[0].startswith("-")):
            if len(words) > 1:
                print(f"shortgame: unexpected argument {words[1]!r}", file=sys.stderr)
                return BAD_INPUT
            if words:
                _named(words[0], read_situation)
            return open_window(words[0] if words else None)
        status = run(parser().parse_args(words))
        sys.stdout.flush()
        return status
    except DocumentError as error:
        print(f"shortgame: {' '.join(str(error).split())}", file=sys.stderr)
        return BAD_INPUT
    except BrokenPipeError:
        # The reader left early. What is still to be written at exit goes nowhere, without a complaint.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 0
