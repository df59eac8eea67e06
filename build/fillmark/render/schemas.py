"""schema/vehicle.json and schema/log-entry.json: what a sheet and an entry of a log file may hold, for other tools."""

from __future__ import annotations

import json

from fillmark.model.amount import Frozen
from fillmark.model.log import LogEntry
from fillmark.model.vehicle import Vehicle

DRAFT = "https://json-schema.org/draft/2020-12/schema"
PUBLISHED: dict[str, type[Frozen]] = {"vehicle": Vehicle, "log-entry": LogEntry}


def files() -> dict[str, bytes]:
    """Return {path: bytes}; the `$id` is relative, since a site may live at any address."""
    return {
        f"schema/{name}.json": json.dumps(
            {"$schema": DRAFT, "$id": f"{name}.json", **model.model_json_schema(mode="validation")},
            ensure_ascii=False, separators=(",", ":"),
        ).encode() + b"\n"
        for name, model in PUBLISHED.items()
    }
