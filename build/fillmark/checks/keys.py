"""Keys: what a kind or a rule names can be answered, kinds can be told apart, and a turn always comes to an end."""

from __future__ import annotations

import itertools
import typing

from fillmark.load import Document, Path_
from fillmark.model.key import Key, Question, Rule, Turn
from fillmark.model.site import Site
from fillmark.model.vehicle import Diff, Outline
from fillmark.problem import Problem, nearest

NAME = "keys"
UNKNOWN = "unknown"
GRADES = "gear-oil-grades"


def words() -> dict[str, tuple[str, ...]]:
    """Return what the record of a unit may say to a question of this id, where the answers are words of the record."""
    outline = {
        name: tuple(word for word in typing.get_args(typing.get_args(info.annotation)[0]) if isinstance(word, str))
        for name, info in Outline.model_fields.items()
    }
    told = {name: known for name, known in outline.items() if known}
    return told | {
        "fill": ("middle", "above", "right", "below", "left"), "seat": ("front", "rear"), "tag": ("there", "none"),
        "turn": typing.get_args(Diff),
    }


def check(site: Site) -> list[Problem]:
    out: list[Problem] = []
    pages: dict[str, str] = {}
    for name, key in site.keys.items():
        document = site.documents["keys", name]
        if key.page in pages:
            out.append(document.problem(("page",), "page is taken", expected="a page of its own", got=key.page,
                                        hint=f"{pages[key.page]} has it", rule=NAME))
        pages.setdefault(key.page, name)
        if bool(key.kinds) == bool(key.turns):
            out.append(document.problem((), "a key has kinds or turns", expected="one of the two",
                                        got="both" if key.kinds else "neither", rule=NAME))
        for asked, question in key.questions.items():
            out += _question(document, key, asked, question)
        out += _kinds(site, document, key)
        for turn_id, turn in key.turns.items():
            out += _turn(site, document, key, turn_id, turn)
    return out


def _question(document: Document, key: Key, name: str, question: Question) -> list[Problem]:
    path: Path_ = ("questions", name)
    if question.entry != "pick":
        return [] if not question.options else [document.problem(
            (*path, "options"), "only a pick has options", expected="entry: pick", got=question.entry, rule=NAME)]
    if len(question.options) < 2:
        return [document.problem(path, "a pick needs two answers", expected="two options or more",
                                 got=str(len(question.options)), rule=NAME)]
    known = words().get(name) if key.units else None
    return [
        document.problem((*path, "options", option), "no unit's record says this", key=True,
                         expected=", ".join(known or ()), got=value, hint=nearest(value, list(known or ())), rule=NAME)
        for option, answer in question.options.items() for value in answer.fits or (option,)
        if known and value not in known
    ]


def _kinds(site: Site, document: Document, key: Key) -> list[Problem]:
    out = []
    means = {name: [answer.fits or (option,) for option, answer in question.options.items()]
             for name, question in key.questions.items() if question.entry == "pick"}
    said = {name: {value for values in answers for value in values} for name, answers in means.items()}
    for kind_id, kind in key.kinds.items():
        if kind.card and kind.card not in site.works:
            out.append(document.problem(("kinds", kind_id, "card"), "no such card",
                                        expected="a work of content/rules.yaml", got=kind.card, rule=NAME))
        for name, values in kind.facts.items():
            path: Path_ = ("kinds", kind_id, "facts", name)
            if name not in said:
                out.append(document.problem(path, "no such question", key=True, expected=", ".join(said), got=name,
                                            hint=nearest(name, list(said)), rule=NAME))
                continue
            out += [document.problem((*path, at), "no answer fits this", expected=", ".join(sorted(said[name])),
                                     got=value, hint=nearest(value, sorted(said[name])), rule=NAME)
                    for at, value in enumerate(values) if value not in said[name]]
    for (first, one), (second, other) in itertools.combinations(key.kinds.items(), 2):
        if not any(_fits(values, one.facts.get(name)) != _fits(values, other.facts.get(name))
                   for name, answers in means.items() for values in answers):
            out.append(document.problem(("kinds", second), f"nothing tells it from '{first}'", key=True,
                                        expected="an answer that fits only one of the two", got=second, rule=NAME))
    return out


def _fits(values: tuple[str, ...], known: tuple[str, ...] | None) -> bool:
    """Say whether an answer that means any of `values` can be given of a kind; what a kind does not say fits all."""
    return known is None or not set(values).isdisjoint(known)


def _turn(site: Site, document: Document, key: Key, turn_id: str, turn: Turn) -> list[Problem]:
    path: Path_ = ("turns", turn_id)
    out = [document.problem((*path, "asks", at), "no such question", expected=", ".join(key.questions), got=name,
                            hint=nearest(name, list(key.questions)), rule=NAME)
           for at, name in enumerate(turn.asks) if name not in key.questions]
    for part, rules in (("rules", turn.rules), ("notes", turn.notes)):
        for at, rule in enumerate(rules):
            out += _rule(document, key, (*path, part, at), rule)
    if turn.least:
        table = site.tables.get(GRADES)
        grades = {str(row.cells["grade"]) for row in table.rows} if table else set[str]()
        out += [document.problem((*path, "least", at, "grade"), "no such grade",
                                 expected=f"a grade of the table {GRADES}", got=one.grade, rule=NAME)
                for at, one in enumerate(turn.least) if one.grade not in grades]
    elif not turn.rules or turn.rules[-1].when:
        out.append(document.problem((*path, "rules"), "the turn may end without a verdict",
                                    expected="a last rule without 'when'", got="every rule asks for something",
                                    rule=NAME))
    return out


def _rule(document: Document, key: Key, path: Path_, rule: Rule) -> list[Problem]:
    out = []
    if (rule.verdict == "buy") != bool(rule.gives):
        out.append(document.problem((*path, "verdict"), "'buy' and 'gives' go together",
                                    expected="what to buy, under 'gives'", got=rule.gives or rule.verdict, rule=NAME))
    for name, values in rule.when.items():
        question = key.questions.get(name)
        if question is None or question.entry != "pick":
            out.append(document.problem((*path, "when", name), "no such question to pick from", key=True,
                                        expected=", ".join(key.questions), got=name,
                                        hint=nearest(name, list(key.questions)), rule=NAME))
            continue
        known = [*question.options, UNKNOWN]
        out += [document.problem((*path, "when", name, at), "no such answer", expected=", ".join(known), got=value,
                                 hint=nearest(value, known), rule=NAME)
                for at, value in enumerate(values) if value not in known]
    return out
