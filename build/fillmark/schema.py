"""JSON Schema of every kind of content file, for completion and hints in an editor."""

from __future__ import annotations

import json

from fillmark.validate import MODELS, TOP

DRAFT = "https://json-schema.org/draft/2020-12/schema"


def files() -> dict[str, str]:
    """Return {"vehicles.schema.json": text, …}, one per model, in validation form."""
    return {
        f"{name}.schema.json": json.dumps(
            {"$schema": DRAFT, **model.model_json_schema(mode="validation")}, indent=1, ensure_ascii=False,
            sort_keys=True,
        ) + "\n"
        for name, model in {**MODELS, **TOP}.items()
    }
