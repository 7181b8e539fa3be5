"""Sheets: blocks flow down pages, stay inside the margins, and print as letters and lines, not as dots."""

import re
from itertools import pairwise

import numpy as np
import pytest
from PySide6.QtCore import QLocale, QPointF, QRectF
from PySide6.QtGui import QImage, QPainter
from PySide6.QtWidgets import QApplication

from shortgame_gui.report.page import (
    A4,
    LETTER,
    Beside,
    Block,
    Heading,
    Paper,
    Picture,
    Points,
    Sheet,
    Table,
    Words,
    _set,
    pdf,
    picture,
    ready_to_paint,
    text_width,
    usual_paper,
    write_line,
)

LONG = "Land the ball a pace on to the green and let it run out to the hole. " * 6
pytestmark = pytest.mark.usefixtures("qapp")


def cross(painter: QPainter, box: QRectF) -> None:
    painter.drawLine(box.topLeft(), box.bottomRight())
    write_line(painter, box.center(), "centre", align=0.5)


def every_block() -> tuple[Block, ...]:
    return (
        Heading("Sheet", level=1),
        Words(LONG),
        Heading("Part"),
        Picture(90.0, cross, "What the picture shows"),
        Table(
            ("", "Shot", "Strokes"),
            ((cross, "Sand wedge, low checking chip", "2.50"), (cross, "9-iron, chip", "2.51")),
            stretch=1,
            left=frozenset({1}),
            bold_rows=frozenset({0}),
        ),
        Beside(((Heading("Left"), Points((LONG, "short"))), (Points(("first", "second"), numbered=True),))),
    )


def grey(image: QImage) -> np.ndarray:
    made = image.convertToFormat(QImage.Format.Format_Grayscale8)
    rows = np.frombuffer(made.constBits(), dtype=np.uint8).reshape(made.height(), made.bytesPerLine())
    return rows[:, : made.width()].copy()


def test_the_pdf_holds_letters_and_lines_with_its_fonts_inside() -> None:
    data = pdf(Sheet("A sheet", every_block(), "foot", A4))
    assert data.startswith(b"%PDF-") and data.rstrip().endswith(b"%%EOF")
    assert b"/FontFile" in data and b"/Subtype /Image" not in data and b"/Subtype/Image" not in data
    assert "A sheet".encode("utf-16-be") in data


@pytest.mark.parametrize(("paper", "points"), [(A4, (595, 842)), (LETTER, (612, 792))])
def test_paper_has_the_size_of_its_standard(paper: Paper, points: tuple[int, int]) -> None:
    """ISO 216 A4 is 210 x 297 mm; ANSI/ASME Y14.1 A is 8.5 x 11 in; values from memory."""
    found = re.search(rb"/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]", pdf(Sheet("", (Words("x"),), paper=paper)))
    assert found is not None and (round(float(found[1])), round(float(found[2]))) == points


def test_the_locale_chooses_the_paper() -> None:
    assert usual_paper(QLocale("en_US")) == LETTER and usual_paper(QLocale("fr_CA")) == LETTER
    assert usual_paper(QLocale("de_DE")) == A4 and usual_paper(QLocale.c()) == A4


def test_blocks_stand_one_under_the_other_inside_the_margins() -> None:
    sheet = Sheet("", every_block() * 4, "foot", A4)
    pages = sheet.pages()
    assert len(pages) > 1
    shown = [block for page in pages for block, _ in page]
    assert shown == list(sheet.blocks)
    for page in pages:
        boxes = [box for _, box in page]
        assert all(a.bottom() < b.top() for a, b in pairwise(boxes))
        assert all(A4.inner.contains(box) for box in boxes)
        assert not isinstance(page[-1][0], Heading), "a heading stands alone at the foot"
    for number in range(len(pages)):
        ink = np.argwhere(grey(picture(sheet, number, 72.0)) < 200)
        assert len(ink) > 500
        (top, left), (bottom, right) = ink.min(axis=0), ink.max(axis=0)
        assert top >= A4.inner.top() - 1 and left >= A4.margin - 1
        assert bottom <= A4.whole.bottom() - 15 and right <= A4.whole.right() - A4.margin + 1


def test_a_block_taller_than_a_page_is_an_error() -> None:
    with pytest.raises(ValueError, match="Picture of 2000 points"):
        Sheet("", (Picture(2000.0, cross),), paper=A4).pages()


def test_words_take_the_lines_that_their_width_needs() -> None:
    narrow, wide = Words(LONG).height(150.0), Words(LONG).height(450.0)
    lines = text_width(LONG) / 450.0
    assert narrow > 2.5 * wide
    assert wide == pytest.approx((int(lines) + 1) * 9.0 * 1.18, rel=0.25)


def test_columns_of_a_table_share_the_width_and_hold_their_words() -> None:
    table = every_block()[4]
    assert isinstance(table, Table)
    widths = table.widths(400.0)
    assert sum(widths) + table.GAP * 2 == pytest.approx(400.0)
    assert widths[2] >= text_width("2.50", bold=True) and widths[1] > 200.0
    # Words that need two lines make the row higher, not the column wider.
    assert table.height(120.0) > table.height(400.0)


def test_a_line_of_words_is_set_to_its_spot() -> None:
    image = QImage(200, 40, QImage.Format.Format_RGB32)
    image.fill(0xFFFFFF)
    painter = QPainter(image)
    boxes = [write_line(painter, QPointF(100.0, 20.0), "words", align=align) for align in (0.0, 0.5, 1.0)]
    painter.end()
    assert boxes[0].left() == 100.0 and boxes[2].right() == pytest.approx(100.0)
    assert boxes[1].center().x() == pytest.approx(100.0)
    assert boxes[0].width() == pytest.approx(text_width("words"))


def test_an_application_that_is_there_is_used() -> None:
    before = QApplication.instance()
    ready_to_paint()
    assert QApplication.instance() is before


def test_a_word_longer_than_the_line_is_broken() -> None:
    """A name of eighty letters without a blank goes on in the next line, not beyond the page."""
    text = _set("W" * 80, 200.0, 18.0)
    lines = [text.layout.lineAt(k) for k in range(text.layout.lineCount())]
    assert len(lines) > 1
    assert all(line.naturalTextWidth() <= line.width() for line in lines)
