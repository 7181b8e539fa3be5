"""Views as picture files: PNG in twice the resolution of the screen, or SVG with every line kept a line.

Qt writes SVG without clipping, so what reaches beyond a plot would lie over its axes. Plot and axes of each
view are therefore written apart, the plot within a clip path.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from html import escape
from pathlib import Path

from PySide6.QtCore import QBuffer, QIODevice, QRect, QRectF, QSize, Qt
from PySide6.QtGui import QImage, QPainter
from PySide6.QtSvg import QSvgGenerator

from shortgame_gui.desktop.shot.drawing import View
from shortgame_gui.store.documents import DocumentError
from shortgame_gui.words.language import _

SHARPER = 2.0
"""Pixels of a PNG for one of the screen."""
SUFFIXES = (".png", ".svg")
_ROOT = re.compile(r"<svg\b[^>]*>", re.DOTALL)


def save_views(views: Sequence[View], path: Path, title: str) -> None:
    """Write ``views``, one below the other as they are on the screen, to ``path``; its suffix says what as.

    Raises DocumentError when the suffix is none of `SUFFIXES` or the file cannot be written.
    """
    for view in views:
        view.catch_up()
    match path.suffix.lower():
        case ".svg":
            try:
                path.write_text(as_svg(views, title), encoding="utf-8")
            except OSError as error:
                raise DocumentError(
                    _("{file} cannot be written: {error}").format(file=path.name, error=error.strerror)
                ) from None
        case ".png":
            if not as_image(views).save(str(path)):
                raise DocumentError(_("{file} cannot be written as a picture").format(file=path.name))
        case _:
            raise DocumentError(
                _("{file}: a picture is saved as {kinds}").format(file=path.name, kinds=", ".join(SUFFIXES))
            )


def _size(views: Sequence[View]) -> QSize:
    return QSize(max(view.width() for view in views), sum(view.height() for view in views))


def as_image(views: Sequence[View]) -> QImage:
    """``views`` one below the other, `SHARPER` times as sharp as on the screen."""
    image = QImage(_size(views) * SHARPER, QImage.Format.Format_ARGB32)
    image.setDevicePixelRatio(SHARPER)
    image.fill(Qt.GlobalColor.transparent)
    painter = QPainter(image)
    top = 0.0
    for view in views:
        view.render(painter, QRectF(0.0, top, view.width(), view.height()), view.viewport().rect())
        top += view.height()
    painter.end()
    return image


def as_svg(views: Sequence[View], title: str) -> str:
    """``views`` one below the other as an SVG document."""
    size, parts, top = _size(views), [], 0
    for view in views:
        box = view.getViewBox()
        plot = box.mapRectToScene(box.rect())
        paper = view.backgroundBrush().color().name()
        parts.append(
            f'<rect x="0" y="{top}" width="{view.width()}" height="{view.height()}" fill="{paper}"/>'
        )
        x, y, wide, high = plot.x(), plot.y(), plot.width(), plot.height()
        clip = f"plot{len(parts)}"
        edge = f'<rect x="{x:.2f}" y="{y:.2f}" width="{wide:.2f}" height="{high:.2f}"/>'
        parts.append(f'<defs><clipPath id="{clip}">{edge}</clipPath></defs>')
        move = f'transform="translate(0,{top})"'
        parts.append(f'<g {move}><g clip-path="url(#{clip})">{_inner(_plain(view))}</g></g>')
        box.childGroup.setVisible(False)
        try:
            parts.append(f"<g {move}>{_inner(_plain(view))}</g>")
        finally:
            box.childGroup.setVisible(True)
        top += view.height()
    return "\n".join(
        [
            '<?xml version="1.0" encoding="UTF-8"?>',
            '<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" '
            f'width="{size.width()}" height="{size.height()}" viewBox="0 0 {size.width()} {size.height()}">',
            f"<title>{escape(title)}</title>",
            *parts,
            "</svg>\n",
        ]
    )


def _plain(view: View) -> str:
    """What is in ``view``, without its paper, as Qt writes it."""
    data = QBuffer()
    data.open(QIODevice.OpenModeFlag.WriteOnly)
    svg = QSvgGenerator()
    svg.setOutputDevice(data)
    svg.setResolution(view.logicalDpiX())  # text and axes in the size that they have on the screen
    svg.setSize(view.size())
    svg.setViewBox(QRect(0, 0, view.width(), view.height()))
    painter = QPainter(svg)
    view.scene().prepareForPaint()
    frame = QRectF(view.viewport().rect())
    view.scene().render(painter, frame, view.mapToScene(view.viewport().rect()).boundingRect())
    painter.end()
    return bytes(data.data().data()).decode()


def _inner(svg: str) -> str:
    """What stands inside the root element of the document ``svg``, without its title."""
    root = _ROOT.search(svg)
    assert root is not None
    return svg[root.end() : svg.rindex("</svg>")].replace("<title>Qt SVG Document</title>", "")
