"""What the drawings of calculators take from the reference tables: `js/data/grades.js`."""

from __future__ import annotations

import json

from fillmark.model.amount import Amount
from fillmark.model.site import Site

GRADES = "gear-oil-grades"


def grades(site: Site) -> str:
    """Return the gear oil grades that are told by their thickness at 100 °C, in m²/s, the thinnest first.

    The last has no upper end. A garage without that table has none.
    """
    table = site.tables.get(GRADES)
    found = []
    if table:
        unit = next(column.unit for column in table.columns if column.id == "thin") or "1"

        def si(cell: object) -> float | None:
            return site.units.si(Amount("", cell, unit)) if isinstance(cell, (int, float)) else None

        for row in table.rows:
            thin, name = si(row.cells.get("thin")), str(row.cells["grade"])
            # A W grade has a least thickness too, but is told by the cold.
            if thin is not None and not name.endswith("W"):
                found.append({"grade": name, "thin": thin, "thick": si(row.cells.get("thick"))})
    return f"export const grades = {json.dumps(found)};\n"
