"""content/cards/<area>/<id>.yaml: a procedure card. Its text never carries a vehicle's numbers, only slots."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import BeforeValidator, Field, StringConstraints, ValidationInfo

from fillmark.model.amount import Frozen, Time, Volume
from fillmark.model.vehicle import Diff, Distance, FastenerRole, Id, Kind, OpensBy, Text
from fillmark.problem import nearest

Severity = Literal["danger", "warning", "caution", "notice"]
# The first line can hurt or ruin whatever the reason, so the phone lets no reason pass them; the second it does.
Guard = Literal[
    "support", "fill-plug-first", "label-time", "cold", "energy", "firm", "locked",
    "keep-hold", "count", "dry", "reconcile", "seated", "fluid", "level", "look",
]
WaitKind = Literal["drain", "cool", "flash-off", "set", "settle", "charge", "drive"]
Shared = Literal["warm", "raise", "lower", "drive"]
Sentence = Annotated[str, StringConstraints(min_length=3, max_length=420)]
# A predecessor: `7` waits for step 7 and its wait, `7!` only for its hands-on part.
After = Annotated[str, StringConstraints(pattern=r"^[1-9][0-9]?!?$")] | Annotated[int, Field(ge=1, le=99)]

SLOT = re.compile(r"\{([^{}]*)\}")


class Applies(Frozen):
    """Which units the card is for: by kind, by how it opens where a kind comes in several builds, and by differential.

    A unit whose differential is not written down counts as unknown, so a card for the unknown is for it too.
    """

    kinds: Annotated[tuple[Kind, ...], Field(min_length=1)]
    opens_by: OpensBy | None = None
    diffs: tuple[Diff, ...] = ()
    says: Sentence


class Tool(Frozen):
    """A tool by size class; the exact size is the unit's."""

    size: Literal["small", "medium", "large", "plug", "other"]
    what: Sentence


class Variant(Frozen):
    """How one step goes for one option of the card's choice."""

    do: Sentence
    hands: Time
    wait: Time | None = None
    wait_kind: WaitKind | None = None
    label_time: bool = False


class Step(Frozen):
    """One step: at most two sentences, minutes of work, the wait that follows, and what must come before.

    `reads` are the record fields read at it; `tightens` is the group tightened at it, whole or only in `part`. `shared`
    names what several jobs on one vehicle do once for all; `runs` says that the engine runs at it.
    """

    no: Annotated[int, Field(ge=1, le=99)]
    do: Sentence | None = None
    hands: Time | None = None
    wait: Time | None = None
    wait_kind: WaitKind | None = None
    label_time: bool = False
    variants: dict[Id, Variant] = {}
    after: tuple[After, ...] = ()
    lifts: bool = False
    shared: Shared | None = None
    runs: bool = False
    proves_fill: bool = False
    opens: bool = False
    shows: tuple[Text, ...] = ()
    reads: tuple[Id, ...] = ()
    tightens: FastenerRole | None = None
    part: Literal["all", "stages", "lap"] = "all"


class Hold(Frozen):
    """A hold point: do not do the blocked steps until. `guard` names the rule of the house it carries, and `reads`
    the record fields it is judged by."""

    no: Annotated[int, Field(ge=1, le=20)]
    says: Sentence
    blocks: Annotated[tuple[int, ...], Field(min_length=1)]
    guard: Guard
    write: Text | None = None
    reads: tuple[Id, ...] = ()


class Caution(Frozen):
    """Hazard, consequence, avoidance; shown before the steps it guards."""

    severity: Severity
    topic: Id
    before: Annotated[int, Field(ge=1, le=99)]
    says: Sentence


class NamedCaution(Frozen):
    """A caution of content/cautions.yaml by its name: it is worded once for all cards."""

    use: Id
    before: Annotated[int, Field(ge=1, le=99)]


class CautionText(Frozen):
    """A caution as content/cautions.yaml has it, to be named by any card."""

    severity: Severity
    topic: Id
    says: Sentence


def _named(shared: Any, kind: str, name: Any) -> Any:
    if name not in shared:
        close = nearest(str(name), list(shared))
        raise ValueError(f"cards share no such {kind}|a name in content/{kind}s.yaml{close and '; '}{close}|{name}")
    return shared[name]


def _worded(raw: Any, info: ValidationInfo) -> Any:
    if not isinstance(raw, dict) or set(raw) != {"use", "before"} or not isinstance(raw["before"], int):
        return raw
    text = _named((info.context or {}).get("cautions", {}), "caution", raw["use"])
    return Caution(severity=text.severity, topic=text.topic, before=raw["before"], says=text.says)


Warned = Annotated[Caution, BeforeValidator(_worded, json_schema_input_type=NamedCaution | Caution)]


class Choice(Frozen):
    """A choice made before starting that changes some steps, such as the kind of joint."""

    label: Text
    options: Annotated[dict[Id, Text], Field(min_length=2)]


class Pour(Frozen):
    """What is bought to go in: so many times a fill of the unit, and `spare` besides.

    `of` says which bottle: the unit's fluid, its additive, what the swivels take, coolant concentrate or the water that
    goes with it. `sealed`: a bottle that was opened before is no good.
    """

    fill: Text
    of: Literal["fluid", "additive", "swivel", "concentrate", "water"] = "fluid"
    times: Annotated[float, Field(gt=0, le=4, strict=False)] = 1
    spare: Volume | None = None
    sealed: bool = False


class FollowUp(Frozen):
    """A look that is due after the job, by days or by true distance; `hard_stop` is the distance it may not pass.

    `only_if` says in words when it is due at all, and `if` names that condition, since the phone must judge it.
    """

    kind: Literal["leak", "chatter", "re-torque", "level", "play", "condition", "tension", "voltage", "support"]
    when: Sentence
    days: Annotated[int | None, Field(ge=1, le=400)] = None
    earliest: Distance | None = None
    latest: Distance | None = None
    hard_stop: Distance | None = None
    only_if: Text | None = None
    condition: Annotated[Literal["limited-slip", "wet-or-glittery"] | None, Field(alias="if")] = None


class Option(Frozen):
    """A word to pick, what it means and asks for, and whether it says stop."""

    word: Text
    means: Sentence | None = None
    stop: bool = False


def _plain_word(raw: Any) -> Any:
    return {"word": raw} if isinstance(raw, str) else raw


# A word that needs no explanation is written as the word alone.
Pick = Annotated[Option, BeforeValidator(_plain_word, json_schema_input_type=Text | Option)]


class RecordField(Frozen):
    """One blank of the record; `unit` is what the value is written in. Only `kind: count` needs to be said.

    `sheet: false` keeps it off the printed card, where there is no room or a hold has the blank already.
    """

    id: Id
    label: Text
    phase: Literal["as-found", "job", "as-left"]
    unit: Text | None = None
    # Not strict: a field may come through a function, past the reader of JSON that takes a list for a tuple.
    options: Annotated[tuple[Pick, ...], Field(strict=False)] = ()
    kind: Literal["count"] | None = None
    sheet: bool = True

    @property
    def entry(self) -> Literal["text", "amount", "pick", "count"]:
        """How it is filled in: picked where there are options, an amount where there is a unit, else text."""
        return self.kind or ("pick" if self.options else "amount" if self.unit else "text")

    @property
    def words(self) -> tuple[str, ...]:
        """The words to pick, in order."""
        return tuple(option.word for option in self.options)


def _known_field(raw: Any, info: ValidationInfo) -> Any:
    return _named((info.context or {}).get("fields", {}), "field", raw) if isinstance(raw, str) else raw


# A field of content/fields.yaml is written as its id alone: it is the same on every card.
Recorded = Annotated[RecordField, BeforeValidator(_known_field, json_schema_input_type=Id | RecordField)]


class Card(Frozen):
    """A procedure card. A `sub` card stands inside others: `includes` are done with it every time, `see` are opened
    when they are needed. `work_out` are calculators that it needs. `beside` is done while another job on the same
    vehicle waits, since it needs nothing of the vehicle; `pours` is what a plan buys for it."""

    no: Annotated[str, StringConstraints(pattern=r"^P[0-9]{2}$")]
    rev: Annotated[int, Field(ge=1)]
    title: Text
    purpose: Sentence
    sub: bool = False
    beside: bool = False
    applies: Applies
    not_for: Annotated[tuple[Sentence, ...], Field(min_length=1)]
    includes: tuple[Id, ...] = ()
    see: tuple[Id, ...] = ()
    choice: Choice | None = None
    parts: tuple[Sentence, ...] = ()
    pours: tuple[Pour, ...] = ()
    tools: tuple[Tool, ...] = ()
    gate: tuple[Sentence, ...] = ()
    capacity: tuple[Text, ...] = ()
    torque: tuple[FastenerRole, ...] = ()
    steps: Annotated[tuple[Step, ...], Field(min_length=1)]
    holds: tuple[Hold, ...] = ()
    cautions: tuple[Warned, ...] = ()
    acceptance: Annotated[tuple[Sentence, ...], Field(min_length=1)]
    stop: Annotated[tuple[Sentence, ...], Field(min_length=1)]
    follow_ups: tuple[FollowUp, ...] = ()
    record: tuple[Recorded, ...] = ()
    work_out: tuple[Id, ...] = ()
    source: Text
    source_note: Sentence


def predecessors(step: Step) -> list[tuple[int, bool]]:
    """Return (step number, hands-only) for each entry of `after`."""
    return [(int(str(entry).rstrip("!")), str(entry).endswith("!")) for entry in step.after]


def texts(card: Card) -> list[tuple[tuple[str | int, ...], str]]:
    """Return every text of the card that may hold slots, with its path in the file."""
    out: list[tuple[tuple[str | int, ...], str]] = [(("purpose",), card.purpose)]
    for name in ("parts", "gate", "acceptance", "stop", "not_for"):
        out += [((name, index), text) for index, text in enumerate(getattr(card, name))]
    out += [(("tools", index, "what"), tool.what) for index, tool in enumerate(card.tools)]
    out += [(("holds", index, "says"), hold.says) for index, hold in enumerate(card.holds)]
    out += [(("cautions", index, "says"), caution.says) for index, caution in enumerate(card.cautions)]
    for index, step in enumerate(card.steps):
        if step.do:
            out.append((("steps", index, "do"), step.do))
        out += [(("steps", index, "variants", name, "do"), variant.do) for name, variant in step.variants.items()]
    return out
