"""Reads an .xlsx file as an office program does (ECMA-376, part 1: 18.3 worksheets, 18.4 shared strings): text and numbers, and no formula anywhere."""

import io
import re
import xml.etree.ElementTree
import zipfile

from program import check

NAMES = "{http://schemas.openxmlformats.org/spreadsheetml/2006/main}"


def column_of(reference):
    number = 0
    for letter in re.match("[A-Z]+", reference).group():
        number = 26 * number + ord(letter) - ord("A") + 1
    return number - 1


def cell_of(cell, strings):
    check(cell.find(NAMES + "f") is None, f"a formula in {cell.get('r')}")
    value = cell.find(NAMES + "v")
    if value is None:
        return ""
    if cell.get("t") == "s":
        return strings[int(value.text)]
    check(cell.get("t") in (None, "n"), f"neither text nor a number: {cell.get('t')}")
    return float(value.text)


def sheets_of(data):
    """Each sheet as rows of texts and floats, in the workbook's order; cells that are not there are empty texts."""
    with zipfile.ZipFile(io.BytesIO(data)) as book:
        check(book.testzip() is None, "every part of the workbook is whole")
        parts = {name: xml.etree.ElementTree.fromstring(book.read(name)) for name in book.namelist() if name.endswith(".xml")}
    strings = ["".join(text.text or "" for text in item.iter(NAMES + "t")) for item in parts["xl/sharedStrings.xml"]]
    count = len(parts["xl/workbook.xml"].find(NAMES + "sheets"))
    sheets = []
    for number in range(1, count + 1):
        rows = []
        for row in parts[f"xl/worksheets/sheet{number}.xml"].iter(NAMES + "row"):
            cells = {column_of(cell.get("r")): cell_of(cell, strings) for cell in row}
            rows.append([cells.get(at, "") for at in range(max(cells, default=-1) + 1)])
        sheets.append(rows)
    return sheets
