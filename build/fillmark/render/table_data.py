"""data/tables.json: the reference tables with all their cells, for the look-up."""

from __future__ import annotations

import json
from typing import Any

from fillmark.model.site import Site


def files(site: Site) -> dict[str, bytes]:
    """Return {"data/tables.json": bytes}: a list of TableData, the shape of site_src/js/types.d.ts."""
    out: list[dict[str, Any]] = [
        {"id": name, "title": table.title, "words": " ".join(table.words),
         "state": table.state,
         "columns": [[column.label, "" if column.unit in (None, "1") else column.unit, column.state or ""]
                     for column in table.columns],
         "rows": [[row.cells[column.id] for column in table.columns] for row in table.rows],
         "states": {str(place): row.state for place, row in enumerate(table.rows) if row.state}}
        for name, table in sorted(site.tables.items())
    ]
    return {"data/tables.json": json.dumps(out, ensure_ascii=False, separators=(",", ":")).encode()}
