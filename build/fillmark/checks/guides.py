"""Guides: a ladder ends, says when to stop, and warns first; the words of a sign are those of card and table."""

from __future__ import annotations

from collections.abc import Iterator

from fillmark.load import Document, Path_
from fillmark.model import tools
from fillmark.model.card import Card, RecordField
from fillmark.model.guide import Guide, Ladder, Rung, Sign, Sizes
from fillmark.model.hazards import NEEDS, SEVERITIES
from fillmark.model.key import Care
from fillmark.model.site import Site
from fillmark.problem import Problem, nearest

NAME = "guides"


def check(site: Site) -> list[Problem]:
    out = []
    for name, guide in site.guides.items():
        document = site.documents["guides", name]
        if bool(guide.ladders) == bool(guide.signs):
            out.append(document.problem((), "a guide has ladders or signs", expected="one of the two",
                                        got="both" if guide.ladders else "neither", rule=NAME))
        out += _called(document, guide)
        for ladder_id, ladder in guide.ladders.items():
            out += _ladder(site, document, ("ladders", ladder_id), ladder)
        for sign_id, sign in guide.signs.items():
            out += _sign(site, document, ("signs", sign_id), sign)
    return out


def _unknown(document: Document, path: Path_, message: str, got: str, known: list[str], key: bool = False) -> Problem:
    return document.problem(path, message, key=key, expected=", ".join(known), got=got, hint=nearest(got, known),
                            rule=NAME)


def _called(document: Document, guide: Guide) -> Iterator[Problem]:
    """Hold every caution to the hazards there are, and to how bad each may be called."""
    parts: list[tuple[Path_, tuple[Care, ...]]] = [
        (("signs", name), sign.cautions) for name, sign in guide.signs.items()]
    for name, ladder in guide.ladders.items():
        parts.append((("ladders", name), ladder.cautions))
        parts += [(("ladders", name, "rungs", at), rung.cautions) for at, rung in enumerate(ladder.rungs)]
    for path, cautions in parts:
        for at, one in enumerate(cautions):
            if one.severity not in SEVERITIES.get(one.topic, ()):
                yield document.problem((*path, "cautions", at), f"'{one.topic}' is not called so",
                                       expected=", ".join(SEVERITIES.get(one.topic, SEVERITIES)), got=one.severity,
                                       rule=NAME)


def _ladder(site: Site, document: Document, path: Path_, ladder: Ladder) -> Iterator[Problem]:
    for at, rung in enumerate(ladder.rungs):
        last = at == len(ladder.rungs) - 1
        if last == bool(rung.next):
            yield document.problem((*path, "rungs", at), "nothing comes after the last rung" if last else
                                   "the rung does not say when to go on",
                                   expected="no 'next' on the last" if last else "when to go to the next, under 'next'",
                                   got=rung.next or "no 'next'", rule=NAME)
    if not any(rung.stop for rung in ladder.rungs):
        yield document.problem((*path, "rungs"), "the ladder never says stop", expected="a 'stop' on one rung or more",
                               got="none", rule=NAME)
    yield from _hazards(document, path, ladder)
    for at, sizes in enumerate(ladder.sizes):
        yield from _sizes(site, document, (*path, "sizes", at), sizes)
    cards = sorted(card.no for card in site.cards.values())
    for part, names, known in (("cards", ladder.cards, cards), ("work_out", ladder.work_out, list(tools.every(site))),
                               ("keys", ladder.keys, [key.page for key in site.keys.values()])):
        for at, one in enumerate(names):
            if one not in known:
                yield _unknown(document, (*path, part, at), "the ladder leads to a page that is not there", one, known)


def _hazards(document: Document, path: Path_, ladder: Ladder) -> Iterator[Problem]:
    """Ask of each rung what its words ask of a card's step: the caution stands before it, or at the ladder's foot."""
    there: set[tuple[str, str]] = {(one.topic, one.severity) for one in ladder.cautions}
    for at, rung in enumerate(ladder.rungs):
        there |= {(one.topic, one.severity) for one in rung.cautions}
        for need in NEEDS:
            if need.met_by(_text(rung)) and (need.topic, need.severity) not in there:
                there.add((need.topic, need.severity))  # said once
                yield document.problem((*path, "rungs", at), f"a {need.severity} is missing: {need.why}",
                                       expected=f"a caution of the ladder, of this rung or of one below it: "
                                                f"{need.severity}, topic {need.topic}", got="none", rule=NAME)


def _text(rung: Rung) -> str:
    return " ".join((rung.do, *rung.needs))


def _sizes(site: Site, document: Document, path: Path_, sizes: Sizes) -> Iterator[Problem]:
    table = site.tables.get(sizes.table)
    if table is None:
        yield _unknown(document, (*path, "table"), "no such table", sizes.table, list(site.tables))
        return
    first = [str(row.cells[table.columns[0].id]) for row in table.rows]
    columns = [column.id for column in table.columns]
    for part, names, known in (("rows", sizes.rows, first), ("columns", sizes.columns, columns)):
        for at, one in enumerate(names):
            if one not in known:
                yield _unknown(document, (*path, part, at), f"the table has no such {part.removesuffix('s')}", one,
                               known)


def _sign(site: Site, document: Document, path: Path_, sign: Sign) -> Iterator[Problem]:
    card = next((card for card in site.cards.values() if card.no == sign.card), None)
    if card is None:
        known = sorted(card.no for card in site.cards.values())
        yield _unknown(document, (*path, "card"), "no such card", sign.card, known)
        return
    for at, name in enumerate(sign.record):
        if name not in _fields(card):
            yield _unknown(document, (*path, "record", at), f"{sign.card} records no such thing", name,
                           list(_fields(card)))
    if not sign.field and not sign.record:
        yield document.problem(path, "nothing is written down of it", expected="a 'field' of the card, or a 'record'",
                               got="neither", rule=NAME)
    field = _fields(card).get(sign.field or "")
    if sign.field and (field is None or not field.options):
        picks = [name for name, one in _fields(card).items() if one.options]
        yield _unknown(document, (*path, "field"), f"{sign.card} has no such words to pick", sign.field, picks)
        return
    table = site.tables.get(sign.table or "")
    if sign.table and table is None:
        yield _unknown(document, (*path, "table"), "no such table", sign.table, list(site.tables))
        return
    if field:
        yield from _words(document, path, sign, field.words, f"{sign.field} on {sign.card}")
    if table:
        cells = tuple(str(row.cells[table.columns[0].id]) for row in table.rows)
        yield from _words(document, path, sign, cells, f"the table {sign.table}")
    yield from _meaning(document, path, sign, field)


def _fields(card: Card) -> dict[str, RecordField]:
    return {one.id: one for one in card.record}


def _words(document: Document, path: Path_, sign: Sign, known: tuple[str, ...], where: str) -> Iterator[Problem]:
    """Hold the words to those of the card or the table, all of them, in their order."""
    for word in sign.words:
        if word not in known:
            yield _unknown(document, (*path, "words", word), f"no such word in {where}", word, list(known), key=True)
    missing = [word for word in known if word not in sign.words]
    if missing:
        yield document.problem((*path, "words"), f"a word of {where} is missing", expected=", ".join(known),
                               got=f"no {', '.join(missing)}", rule=NAME)
    elif set(sign.words) == set(known) and tuple(sign.words) != known:
        yield document.problem((*path, "words"), f"the words stand in another order in {where}",
                               expected=", ".join(known), got=", ".join(sign.words), rule=NAME)


def _meaning(document: Document, path: Path_, sign: Sign, field: RecordField | None) -> Iterator[Problem]:
    """See that each word means something, and that it is said in one place only."""
    told = {option.word: bool(option.means) for option in field.options} if field else {}
    for name, word in sign.words.items():
        if field and name not in field.words:
            continue  # refused by its name
        elsewhere = told.get(name, False) if field else bool(sign.table)
        if elsewhere == bool(word.means):
            yield document.problem((*path, "words", name), "what the word means is said twice" if elsewhere else
                                   "nobody says what the word means",
                                   expected="no 'means': the card or the table has it" if elsewhere else "a 'means'",
                                   got=word.means or "no 'means'", rule=NAME)
        if word.stop and (field or sign.table):
            yield document.problem((*path, "words", name, "stop"), "the card or the table says where to stop",
                                   expected="no 'stop'", got="true", rule=NAME)
