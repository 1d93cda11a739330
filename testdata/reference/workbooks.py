#!/usr/bin/env python3
"""Random workbooks, days counted from 1900 and from 1904, and what openpyxl (Debian's
python3-openpyxl) reads in their cells. Run it in this folder: it writes workbook_1900.xlsx,
workbook_1904.xlsx and workbooks.json."""
import datetime
import json
import random

import openpyxl
from openpyxl.utils.datetime import CALENDAR_MAC_1904, CALENDAR_WINDOWS_1900

DATES = ["yyyy-mm-dd", "dd.mm.yyyy", "mm-dd-yy", "d-mmm-yy", "[$-409]d mmmm yyyy;@"]
MOMENTS = ["yyyy-mm-dd hh:mm:ss", "dd/mm/yyyy h:mm", "m/d/yy h:mm"]
PERCENTS = ["0%", "0.00%", "0.0 %;[Red]-0.0 %"]
NUMBERS = ["General", "0", "0.00", "#,##0.00", "0.00E+00", "#,##0.00_);[Red](#,##0.00)"]
WORDS = ["glue line", "Äste", "a\nb", "3 < 4 & 5", "knot \u201cat\u201d the pin", "12,5", "007", "#N/A"]


def cell(rng):
    """A value, its number format and what it is."""
    what = rng.choice(["number", "number", "percent", "date", "moment", "text", "truth", "empty"])
    if what == "number":
        x = rng.choice([rng.gauss(0, 1), rng.uniform(0, 1e4), 10 ** rng.uniform(-12, 12), rng.randrange(10 ** 6),
                        round(rng.uniform(0, 100), 2)])
        return x, rng.choice(NUMBERS), what
    if what == "percent":
        return rng.choice([rng.random(), round(rng.random(), 3), rng.randrange(100) / 100]), rng.choice(PERCENTS), what
    if what == "date":
        return datetime.date(1904, 1, 2) + datetime.timedelta(rng.randrange(60000)), rng.choice(DATES), what
    if what == "moment":
        return (datetime.datetime(1904, 1, 2) + datetime.timedelta(rng.randrange(60000), rng.randrange(86400)),
                rng.choice(MOMENTS), what)
    if what == "text":
        return rng.choice(WORDS), "@", what
    if what == "truth":
        return rng.random() < 0.5, "General", what
    return None, "General", what


def main():
    rng = random.Random(20261129)
    read = {}
    for name, epoch in (("workbook_1900", CALENDAR_WINDOWS_1900), ("workbook_1904", CALENDAR_MAC_1904)):
        book = openpyxl.Workbook()
        book.epoch = epoch
        kinds = {}
        for row in range(1, 61):
            for column in range(1, 9):
                value, how, what = cell(rng)
                if value is None:
                    continue
                c = book.active.cell(row, column)
                c.value, c.number_format = value, how
                if what == "text":
                    c.data_type = "s"
                kinds[row, column] = what
        book.save(name + ".xlsx")
        cells = []
        for line in openpyxl.load_workbook(name + ".xlsx", data_only=True).active.iter_rows():
            for c in line:
                if c.value is None:
                    continue
                value = c.value
                if isinstance(value, datetime.datetime):
                    value = value.isoformat(" ", "seconds")
                cells.append({"row": c.row, "column": c.column, "is": kinds[c.row, c.column], "value": value})
        read[name] = cells
    with open("workbooks.json", "w") as out:  # a cell a line
        out.write('{"openpyxl": "%s", "cells": {' % openpyxl.__version__)
        for i, (name, cells) in enumerate(read.items()):
            lines = ",\n".join(json.dumps(c, ensure_ascii=False) for c in cells)
            out.write('%s\n"%s": [\n%s\n]' % ("," if i else "", name, lines))
        out.write("\n}}\n")


if __name__ == "__main__":
    main()
