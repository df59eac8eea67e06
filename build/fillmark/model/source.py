"""content/sources.yaml: one entry of the closed list of sources that a value may name."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StringConstraints

from fillmark.model.amount import Frozen

SourceKind = Literal["published", "vehicle-data", "common-practice", "memory", "demo"]


class Source(Frozen):
    """Where numbers come from. `where` is the table or page; `confidence` says how a published text was met.

    `found`: read in a public copy or excerpt. `memory`: recalled, not confirmed; the site says so beside the value.
    """

    kind: SourceKind
    title: Annotated[str, StringConstraints(min_length=3, max_length=200)]
    publisher: Annotated[str | None, StringConstraints(min_length=2, max_length=120)] = None
    year: Annotated[int | None, Field(ge=1900, le=2100)] = None
    where: Annotated[str | None, StringConstraints(min_length=1, max_length=200)] = None
    confidence: Literal["found", "memory"] | None = None
    note: Annotated[str | None, StringConstraints(min_length=3, max_length=400)] = None
