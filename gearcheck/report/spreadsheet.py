"""Forms as a workbook: text that stays text, and the same bytes every time."""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Mapping
from datetime import datetime
from math import ceil
from typing import Any

from openpyxl import Workbook
from openpyxl.styles import Alignment, Border, Font, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.writer.excel import ExcelWriter

from gearcheck.report.cautions import CAUTIONS
from gearcheck.report.files import packed
from gearcheck.report.forms import Form
from gearcheck.report.separated import number_of, shown

_NO_CLOCK = datetime(1980, 1, 1)
_ESCAPE = re.compile(r"_(?=x[0-9A-Fa-f]{4}_)")
_A4 = 9
_WIDTHS: Mapping[str, float] = {
    "process": 34, "specification": 34, "certificate": 26, "number": 15, "location": 30, "requirement": 42,
    "results": 36, "nonconformance": 22, "comments": 60,
}  # fmt: skip
_FIRST_WIDTHS = (46.0, 10.0, 70.0)
_WIDTH, _LINE = 16.0, 15.0


def xlsx(forms: Iterable[Form]) -> bytes:
    """Return a workbook with a sheet for each form.

    Parameters
    ----------
    forms : iterable of Form
        In their order.

    Returns
    -------
    bytes
        Every cell is text but the numbers of the form, none a formula; the same forms give the same bytes.
    """
    book = Workbook()
    book.remove(book.active)
    for form in forms:
        _lay_out(book.create_sheet(form.sheet or f"Form {form.number}"), form)
    book.properties.creator = "gearcheck"
    book.properties.created = book.properties.modified = _NO_CLOCK
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as archive:
        ExcelWriter(book, archive).write_data()
    with zipfile.ZipFile(made) as archive:
        return packed({name: archive.read(name) for name in archive.namelist()})


def _lay_out(sheet: Any, form: Form) -> None:
    widths = [_width(form, place) for place in range(len(form.columns))]
    for place, width in enumerate(widths, start=1):
        sheet.column_dimensions[get_column_letter(place)].width = width
    row = 1
    for line in (form.title, form.caution):
        _across(sheet, row, widths, line, bold=True)
        row += 1
    if form.head:
        for place, (heading, entry) in enumerate(form.head, start=1):
            _put(sheet, row, place, heading, bold=True)
            _put(sheet, row + 1, place, entry, ruled=True)
        row += 2
    for place, heading in enumerate(form.headings, start=1):
        _put(sheet, row, place, heading, bold=True, ruled=True)
    sheet.freeze_panes = f"A{row + 1}"
    sheet.print_title_rows = f"{row}:{row}"
    for cells in form.rows:
        row += 1
        for place, (heading, text) in enumerate(zip(form.headings, cells, strict=True), start=1):
            _put(sheet, row, place, text, ruled=True)
            if heading in form.numbers:
                _as_number(sheet.cell(row=row, column=place), text)
    for heading in form.foot:
        row += 1
        _put(sheet, row, 1, heading, bold=True)
        _put(sheet, row, 2, "", ruled=True)
    for line in form.remarks:
        row += 1
        _across(sheet, row, widths, line)
    _set_up(sheet)


def _across(sheet: Any, row: int, widths: list[float], line: str, *, bold: bool = False) -> None:
    """A line as wide as the sheet; no program finds the height of such a row by itself."""
    sheet.merge_cells(start_row=row, end_row=row, start_column=1, end_column=len(widths))
    _put(sheet, row, 1, line, bold=bold)
    sheet.row_dimensions[row].height = _LINE * ceil(1.1 * len(line) / sum(widths))


def _width(form: Form, place: int) -> float:
    if form.widths:
        return form.widths[place]
    column = form.columns[place]
    return _FIRST_WIDTHS[place] if isinstance(column, str) else _WIDTHS.get(column.holds, _WIDTH)


def _put(sheet: Any, row: int, column: int, text: str, *, bold: bool = False, ruled: bool = False) -> None:
    """Write text as text, whatever it begins with, also after someone has edited the cell."""
    cell = sheet.cell(row=row, column=column)
    if text:
        cell.value = _ESCAPE.sub("_x005F_", shown(text))
        cell.data_type = "s"
        cell.quotePrefix = True
    cell.font = Font(bold=bold)
    cell.alignment = Alignment(wrap_text=True, vertical="top")
    if ruled:
        cell.border = Border(bottom=Side(style="thin"))


def _as_number(cell: Any, text: str) -> None:
    """Make a cell a number, with as many decimals as are printed."""
    known = number_of(text)
    if known is not None:
        cell.value, cell.quotePrefix = known, False
        decimals = len(text.partition(".")[2])
        cell.number_format = f"0.{'0' * decimals}" if decimals else "0"


def _set_up(sheet: Any) -> None:
    sheet.page_setup.orientation, sheet.page_setup.paperSize = "landscape", _A4
    sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
    sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    sheet.oddFooter.left.text = CAUTIONS[0]
    sheet.oddFooter.right.text = "page &P of &N"
