"""Reference tables: every row has its columns, numbers stand where a unit is named, notes carry no number unmarked."""

from __future__ import annotations

from fillmark.load import Document
from fillmark.model.site import Site, Table
from fillmark.problem import Problem, nearest

NAME = "tables"


def check(site: Site) -> list[Problem]:
    return [
        problem for name, table in site.tables.items()
        for problem in _table(site, site.documents["tables", name], table)
    ]


def _table(site: Site, document: Document, table: Table) -> list[Problem]:
    out = []
    columns = {column.id: column for column in table.columns}
    for index, column in enumerate(table.columns):
        if column.unit and site.units.known(column.unit) is None:
            out.append(document.problem(("columns", index, "unit"), "unknown unit",
                                        expected="a unit of content/units.txt", got=column.unit,
                                        hint=site.units.near(column.unit), rule=NAME))
    for index, row in enumerate(table.rows):
        for name, cell in row.cells.items():
            path = ("rows", index, "cells", name)
            if name not in columns:
                out.append(document.problem(path, "no such column", key=True, expected=", ".join(columns), got=name,
                                            hint=nearest(name, list(columns)), rule=NAME))
            elif columns[name].unit and isinstance(cell, str) and cell not in {"–", ""}:
                out.append(document.problem(path, f"a number in {columns[name].unit} is expected",
                                            expected="a number, or – for none", got=cell, rule=NAME))
        missing = [name for name in columns if name not in row.cells]
        if missing:
            out.append(document.problem(("rows", index, "cells"), "the row lacks a column",
                                        expected=", ".join(columns), got=f"no {', '.join(missing)}", rule=NAME))
    return out
