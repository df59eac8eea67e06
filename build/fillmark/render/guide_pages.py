"""The pages of the guides: ladders with their sizes, and signs with the words, drawings and meanings of the cards."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from markupsafe import Markup

from fillmark.model.amount import Origin
from fillmark.model.card import Card, RecordField
from fillmark.model.guide import Guide, Ladder, Sign, Sizes
from fillmark.model.site import Column, Row, Site, Table
from fillmark.model.tools import every
from fillmark.render import drawings


@dataclass(frozen=True)
class Meant:
    """A word of a sign with all that is said of it; `origin` is there where its own differs from the page's."""

    word: str
    looks: str
    drawing: Markup
    means: tuple[str, ...]
    stop: bool
    origin: Origin | None = None


def pages(site: Site) -> Iterator[tuple[str, str, dict[str, Any]]]:
    """Yield (path, template, context) of every guide."""
    for name, guide in site.guides.items():
        yield f"guides/{name}/", "guide.html", context(site, guide)


def context(site: Site, guide: Guide) -> dict[str, Any]:
    """Return what the template of one guide shows."""
    return {
        "guide": guide,
        "ladders": [(name, ladder, [sizes(site, one) for one in ladder.sizes], leads(site, ladder))
                    for name, ladder in guide.ladders.items()],
        "groups": [(group, [(name, sign, meant(site, sign), recorded(site, sign))
                            for name, sign in guide.signs.items() if sign.group == group])
                   for group in dict.fromkeys(sign.group for sign in guide.signs.values())],
    }


def card_of(site: Site, number: str) -> Card:
    """Return the card of this number."""
    return next(card for card in site.cards.values() if card.no == number)


def field_of(card: Card, name: str) -> RecordField:
    """Return a field of the card's record."""
    return next(field for field in card.record if field.id == name)


def meant(site: Site, sign: Sign) -> list[Meant]:
    """Return the words of a sign, with what the card, the table or the guide says of each."""
    options = {one.word: one for one in field_of(card_of(site, sign.card), sign.field).options} if sign.field else {}
    out = []
    for name, word in sign.words.items():
        option = options.get(name)
        means: tuple[str, ...] = (word.means or (option and option.means) or "",)
        stop, origin = word.stop or bool(option and option.stop), None
        if sign.table and not option:
            table = site.tables[sign.table]
            row = next(row for row in table.rows if str(row.cells[table.columns[0].id]) == name)
            means = tuple(f"{column.label}: {row.cells[column.id]}." for column in table.columns[1:])
            stop = any(str(cell).startswith("Stop") for cell in row.cells.values())
            origin = Origin(source=row.source or table.source, state=row.state or table.state)
        out.append(Meant(name, word.looks, drawings.svg(word.draw), tuple(one.removeprefix("Stop. ") for one in means),
                         stop, origin))
    return out


def recorded(site: Site, sign: Sign) -> tuple[list[str], list[str]]:
    """Return (labels of what is written down, numbers of all cards that record it in these words)."""
    card = card_of(site, sign.card)
    names = [sign.field, *sign.record] if sign.field else list(sign.record)
    first = field_of(card, names[0])
    cards = [one.no for one in sorted(site.cards.values(), key=lambda one: one.no)
             if any(field.id == first.id and field.words == first.words for field in one.record)]
    return [field_of(card, name).label for name in names], cards


def sizes(site: Site, one: Sizes) -> tuple[str, Table, list[Column], list[Row]]:
    """Return (id, table, columns, rows) of what a ladder shows of a reference table."""
    table = site.tables[one.table]
    first = table.columns[0].id
    columns = {column.id: column for column in table.columns}
    rows = {str(row.cells[first]): row for row in table.rows}
    return one.table, table, [columns[name] for name in one.columns], [rows[name] for name in one.rows]


def leads(site: Site, ladder: Ladder) -> list[tuple[str, str]]:
    """Return (address, title) of the cards, keys and calculators that a ladder leads to."""
    titles = {key.page: key.title for key in site.keys.values()}
    return [
        *((f"cards/{number.lower()}/", f"{number} {card_of(site, number).title}") for number in ladder.cards),
        *((f"keys/{page}/", titles[page]) for page in ladder.keys),
        *((f"work-out/{name}/", every(site)[name].title) for name in ladder.work_out),
    ]
