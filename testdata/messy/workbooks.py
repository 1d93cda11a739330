#!/usr/bin/env python3
"""Writes the workbooks of this folder, each typed here as a workshop keeps them, with
openpyxl (Debian's python3-openpyxl), and puts in what openpyxl cannot: the values that a
spreadsheet program stores beside formulas. Run it in this folder.

The .want beside each is typed by hand and not written here.
"""
import datetime
import os
import re
import shutil
import zipfile

import openpyxl
from openpyxl.utils.datetime import CALENDAR_MAC_1904


def day(n):
    return datetime.date(2026, 3, n)


def store(path, values):
    """Puts stored values behind formulas: {"xl/worksheets/sheet1.xml": {"F4": "31.5"}}."""
    old = path + ".old"
    shutil.move(path, old)
    with zipfile.ZipFile(old) as came, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as out:
        for item in came.infolist():
            text = came.read(item)
            for cell, value in values.get(item.filename, {}).items():
                pattern = r'(<c r="%s"[^>]*?)(><f>[^<]*</f>)<v ?/?>(</v>)?' % cell
                kind = "" if re.fullmatch(r"[-+.0-9eE]+", value) else ' t="e"' if value.startswith("#") else ' t="str"'
                new, n = re.subn(pattern, r"\1%s\2<v>%s</v>" % (kind, value), text.decode())
                assert n == 1, (path, cell)
                text = new.encode()
            out.writestr(item.filename, text)
    os.remove(old)


def notes_first():
    """Notes on the first sheet, the series on the second, sums on the third."""
    book = openpyxl.Workbook()
    notes = book.active
    notes.title = "Notes"
    for row in (["Gate joints, spring"], [], ["Operator", "Ann"], ["Rig", 2], ["Oiled on", day(1)]):
        notes.append(row)
    tests = book.create_sheet("Tests 2026")
    tests.append(["Specimen", "Tested", "Pins", "Moisture", "Thickness", "Load (N)", "Stress", "Failure"])
    tests.append([None, None, None, "%", "mm", None, "MPa", None])
    for name, n, pins, moisture, thickness, load, failure in (
            ("G01", 2, "none", 0.12, 34, 912.123456789, "glue"),
            ("G02", 2, "pair", 0.125, 34.5, 1104.5, "wood"),
            ("G03", 3, "none", 0.07, 33.25, 875, "glue"),
            ("G04", 3, "pair", None, 34, 1230.25, "pin")):
        tests.append([name, day(n), pins, moisture, thickness, load, "=F%d/E%d/10" % (tests.max_row + 1, tests.max_row + 1), failure])
        tests.cell(tests.max_row, 2).number_format = "dd.mm.yyyy"
        tests.cell(tests.max_row, 4).number_format = "0%"
        tests.cell(tests.max_row, 6).number_format = "0"
        tests.cell(tests.max_row, 7).number_format = "0.0"
    sums = book.create_sheet("Sums")
    sums.append(["Pins", "Mean load (N)"])
    sums.append(["none", 893.5])
    sums.append(["pair", 1167.4])
    book.create_chartsheet("Picture")
    book.save("book_notes_first.xlsx")
    store("book_notes_first.xlsx", {"xl/worksheets/sheet2.xml": {
        "G3": "2.6827160493794118", "G4": "3.2014492753623189", "G5": "2.6315789473684212", "G6": "3.6183823529411767"}})


def odd_cells():
    """Errors, a formula never worked out, hidden rows and columns, merged cells, days from 1904."""
    book = openpyxl.Workbook()
    book.epoch = CALENDAR_MAC_1904
    t = book.active
    t.title = "Series"
    t.append(["Joint", "Made", "Glue", "Cured", "Load (kN)", "Share"])
    for name, n, glue, cured, load, share in (
            ("A1", 1, "hide", 0.5, 1.25, "=E2/2"),
            ("A2", 2, None, 0.75, "#N/A", "=E3/2"),
            ("A3", 3, "pva", 1.5, 1.5, "=E4/2"),
            ("A4", 4, "pva", 0.604166666666667, 1.125, "=E5/2")):
        t.append([name, day(n), glue, cured, load, share])
        t.cell(t.max_row, 2).number_format = "yyyy-mm-dd"
        t.cell(t.max_row, 4).number_format = "[h]:mm"
        t.cell(t.max_row, 6).number_format = "0.0%"
    t.cell(3, 5).data_type = "e"
    t.merge_cells("C2:C3")
    t.row_dimensions[4].hidden = True
    t.column_dimensions["D"].hidden = True
    book.save("book_odd_cells.xlsx")
    store("book_odd_cells.xlsx", {"xl/worksheets/sheet1.xml": {"F2": "0.625", "F3": "#N/A", "F4": "0.75"}})


def numbers_as_text():
    """Numbers that somebody's program left as text, with a decimal comma, among real ones; a
    unit in the number format; codes that a format fills up with zeros; a table that starts at C3."""
    book = openpyxl.Workbook()
    t = book.active
    t.title = "Tabelle1"
    t["A1"] = "Prüfung Frühjahr"
    rows = (["Nr", "Stift", "Dicke", "Bruchlast (N)"],
            [1, "ohne", 34, "912,5"], [2, "zwei", 34.5, 1104.25], [3, "ohne", 33, "1.230,5"], [12, "zwei", 34.25, 987])
    for i, row in enumerate(rows):
        for k, value in enumerate(row):
            t.cell(3 + i, 3 + k).value = value
        if i:
            t.cell(3 + i, 3).number_format = "000"
            t.cell(3 + i, 5).number_format = '0.0" mm"'
    book.save("book_numbers_as_text.xlsx")


def renamed():
    """A workbook with the name of a CSV."""
    book = openpyxl.Workbook()
    t = book.active
    t.title = "Gates"
    for row in (["pins", "load (N)", "when"], ["none", 812, datetime.datetime(2026, 3, 2, 14, 30)],
                ["pair", 1003.5, datetime.datetime(2026, 3, 2, 15, 5, 30)], ["none", 840, datetime.datetime(2026, 3, 3)]):
        t.append(row)
    for r in (2, 3, 4):
        t.cell(r, 3).number_format = "dd/mm/yyyy hh:mm"
    book.save("book_renamed.csv")


def chart_only():
    """Nothing but a chart."""
    book = openpyxl.Workbook()
    book.remove(book.active)
    book.create_chartsheet("Picture")
    book.save("book_chart_only.xlsx")


def empty():
    """Formatted and empty."""
    book = openpyxl.Workbook()
    for row in range(1, 40):
        book.active.cell(row, 1).number_format = "0.00"
    book.save("book_empty.xlsx")


def old():
    """The start of an old binary workbook, with the name of its stream."""
    with open("book_old.xls", "wb") as out:
        out.write(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(504) + "Workbook".encode("utf-16-le") + bytes(496))


def rig():
    """The tests, and beside them what a rig has: its calibration, readings of two joints, blanks on hand."""
    book = openpyxl.Workbook()
    for sheet, header, rows in (
            ("Tests", ["Specimen", "Pins", "Load (N)"], (
                ("G1", "none", 912), ("G2", "pair", 1104), ("G3", "none", 875), ("G4", "pair", 1230))),
            ("Gauge 2026", ["Reading (N)", "True (N)"], ((800, 820), (1000, 1025), (1200, 1230), (1400, 1435))),
            ("Readings", ["Specimen", "Slip (mm)", "Load (N)"], tuple(
                (name, 0.5 * i, step * i if i < 7 else 0.4 * step * 6)
                for name, step in (("G1", 150), ("G2", 180)) for i in range(9))),
            ("Blanks", ["Board", "Density (kg/m3)"], tuple(
                ("K%d" % (i + 1), d) for i, d in enumerate((612, 634, 598, 640, 655, 601, 623, 605))))):
        t = book.create_sheet(sheet)
        t.append(header)
        for row in rows:
            t.append(row)
    book.remove(book.worksheets[0])
    book.save("book_rig.xlsx")


def open_document():
    """The parts of an OpenDocument spreadsheet that say what it is."""
    with zipfile.ZipFile("book_open.ods", "w") as out:
        out.writestr(zipfile.ZipInfo("mimetype"), "application/vnd.oasis.opendocument.spreadsheet")
        out.writestr(zipfile.ZipInfo("content.xml"), '<?xml version="1.0" encoding="UTF-8"?><office:document-content '
                     'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0"/>')


if __name__ == "__main__":
    for write in (notes_first, odd_cells, numbers_as_text, renamed, chart_only, empty, old, rig, open_document):
        write()
    for other in ("sheet_asked", "sheet_wrong"):
        shutil.copy("book_notes_first.xlsx", "book_%s.xlsx" % other)
