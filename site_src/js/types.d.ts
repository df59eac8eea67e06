// The shapes that go between the build, the page's library and the store. Amounts are SI: m³, N·m, m, s, kg, K.
// Times of events are epoch milliseconds of the phone's clock; minutes are minutes.

/** A number as typed: what was written, in which unit, and its value in SI. Text and picked words have no si. */
export type Reading = { typed: string; unit: string; si: number | null };

// ---- made by the build: data/cards/<no>.json

export type Way = { do: string; hands: number; wait: number; waitKind: string; label: boolean };
export type Step = {
  no: number;
  after: { step: number; handsOnly: boolean }[];
  /** Keyed by the option of the card's choice; '' where the card has none or the step is the same for all. */
  ways: Record<string, Way>;
  lifts: boolean;
  /** What several jobs on one vehicle do once for all, '' where it is this card's own; a job begun before has none. */
  shared?: '' | 'warm' | 'raise' | 'lower' | 'drive';
  /** The engine runs while the vehicle stands raised. */
  runs?: boolean;
  provesFill: boolean;
  opens: boolean;
  shows: string[];
  /** Record fields that are read at this step. */
  reads: string[];
  /** The fastener group tightened here; stages only, the last lap only, or both. */
  tightens: string;
  part: 'all' | 'stages' | 'lap';
};
export type Hold = { no: number; says: string; blocks: number[]; guard: string; write: string; reads: string[] };
export type Caution = { severity: 'danger' | 'warning' | 'caution' | 'notice'; topic: string; before: number; says: string };
export type Option = { word: string; means: string; stop: boolean };
export type Field = {
  id: string;
  label: string;
  phase: 'as-found' | 'job' | 'as-left';
  kind: 'text' | 'amount' | 'pick' | 'count';
  unit: string;
  options: Option[];
};
export type FollowRule = {
  kind: string;
  when: string;
  days: number;
  /** True distance in metres; 0 where there is none. */
  earliest: number;
  latest: number;
  hardStop: number;
  /** '' always; else the condition that must hold. */
  onlyIf: '' | 'limited-slip' | 'wet-or-glittery';
};
export type Card = {
  no: string;
  rev: number;
  title: string;
  purpose: string;
  choice: { label: string; options: Record<string, string> } | null;
  includes: string[];
  /** Cards opened when they are needed; a job begun with an older version has none. */
  see?: { no: string; title: string }[];
  /** Needs nothing of the vehicle, so it is done while another job waits. */
  beside?: boolean;
  parts: string[];
  /** What is bought to go in: `times` a fill of the unit, and `spare` m³. */
  pours?: { fill: string; of: 'fluid' | 'additive' | 'swivel' | 'concentrate' | 'water'; times: number; spare: number; sealed: boolean }[];
  tools: string[];
  gate: string[];
  capacity: string[];
  torque: string[];
  steps: Step[];
  holds: Hold[];
  cautions: Caution[];
  acceptance: string[];
  stop: string[];
  followUps: FollowRule[];
  record: Field[];
  sourceNote: string;
};

export type Slot = {
  label: string; main: string; also: string; state: string; origin: string; note: string;
  /** What it differs from, or was before; `lost` ones are struck through. */
  rivals: { main: string; also: string; origin: string; note: string; lost: boolean }[];
};
export type Fastener = {
  role: string; name: string; count: number; thread: string; strength: string; pattern: 'ring' | 'rail' | 'inline' | 'single';
  /** N·m */
  torque: number;
  unit: string;
  state: string;
  threadState: string;
  /** Shares of the target, such as [0.5, 0.75, 1]. */
  stages: number[];
  then: string;
};
/** A capacity as it counts: the best-ranked source first, what it differs from beside it. `source` is an id. */
export type Fill = {
  si: number; typed: string; state: string; source: string;
  rivals: { si: number; typed: string; source: string; lost: boolean }[];
};
/** A unit as cards, jobs and look-up show it; '' where nothing is written down. */
export type Unit = {
  id: string; code: string; title: string; kind: string; diff: string;
  label: string; place: string; opensBy: string; yellowMetal: string; tag: string; words: string[];
  fluid: { grade: string; category: string; additive: string; state: string } | null;
  fills: Record<string, Fill>;
  plugs: Record<string, { tool: string; thread: string; seal: string }>;
  slots: Record<string, Slot>;
  fasteners: Record<string, Fastener>;
  /** m³ and its state, null where unknown. */
  refill: { si: number; state: string } | null;
  level: { low: number; high: number; below: string } | null;
  fillHoleOffset: number | null;
  oilSurface: number | null;
};
/** A vehicle worked out of its sheet (lib/sheet.js), the same for the site's and the phone's own. */
export type Vehicle = {
  id: string; rev: number; name: string; short: string; invented: boolean;
  /** `reading` as indicated, in `unit`. */
  odometer: { unit: 'mi' | 'km'; digits: number; reading: number; asOf: string; rollovers: number };
  /** True distance per indicated distance, of the tyres now on it. */
  tyreFactor: { factor: number; state: string };
  /** `since` as indicated, rollovers counted in, in the odometer's unit; the first one first. */
  tyreEras: { since: number; sinceDate: string; size: string; factor: number; state: string }[];
  /** How it is used before the first of `severityEras`. */
  severity: 'normal' | 'severe';
  severityEras: { since: number; sinceDate: string; use: 'normal' | 'severe' }[];
  /** Its own intervals, in place of the rules for the kinds of these units. */
  service: {
    units: string[]; distance: number | null; months: number | null; severeFactor: number; source: string; state: string;
  }[];
  coldestStart: number;
  kerbMass: number | null;
  rearShare: number | null;
  wheelbase: number | null;
  units: Record<string, Unit>;
};

// ---- a job

/** What a job is done with: its own copy, taken when it began, so that an update changes nothing half done. */
export type Copy = {
  card: Card; subs: Record<string, Card>; vehicle: Omit<Vehicle, 'units'>; unit: Unit;
  /** The option of the card's choice, '' where it has none. */
  option: string;
  /** Minutes of a label by step, typed at the start; a step that is absent has the card's own. */
  label: Record<number, number>;
};

/** One thing that happened. Append-only; nothing is ever changed or taken away. */
export type Event = {
  /** 32 hexadecimal digits. */
  id: string;
  job: string;
  /** 1, 2, 3 … within the job. */
  seq: number;
  /** Epoch milliseconds by the phone's clock. */
  at: number;
  /** Minutes that local time was ahead of UTC. */
  zone: number;
} & (
  | { kind: 'begin'; data: { copy: Copy; odometer: Reading; why: string; readings: Record<string, Reading> } }
  | { kind: 'done'; data: { step: number } }
  /** Taken back: the step and whatever rested on it. */
  | { kind: 'undone'; data: { steps: number[]; holds: number[] } }
  /** The last thing was taken back by mistake: it stands again, with its own time. */
  | { kind: 'put-back'; data: { undone: string } }
  | { kind: 'hold'; data: { hold: number } }
  /** A hold passed without what it asks for, with a typed reason: a deviation. */
  | { kind: 'override'; data: { hold: number; reason: string } }
  /** A tap after a wait. `early` in minutes, 0 when the time had passed. */
  | { kind: 'opened'; data: { step: number; early: number } }
  /** A label time read again. */
  | { kind: 'label'; data: { step: number; minutes: number } }
  | { kind: 'read'; data: { field: string; reading: Reading | null } }
  | { kind: 'bolt'; data: { step: number; tap: number } }
  | { kind: 'unbolt'; data: { step: number; tap: number } }
  | { kind: 'threads'; data: { role: string; state: string } }
  | { kind: 'note'; data: { step: number; text: string } }
  | { kind: 'photo'; data: { step: number; photo: string; width: number; height: number; bytes: number } }
  /** The phone's clock was moved by so many milliseconds; counted = that time really passed. */
  | { kind: 'clock'; data: { by: number; counted: boolean } }
  | { kind: 'rest'; data: { note: string } }
  | { kind: 'resume'; data: Record<string, never> }
  | { kind: 'stopped'; data: { entry: Entry; defect: string } }
  | { kind: 'signed'; data: { entry: Entry; followUps: FollowUp[] } }
);

/** What stands in the service log. A correction is a new entry naming the one it replaces. */
export type Entry = {
  id: string; job: string; date: string; vehicle: string; unit: string; procedure: string; rev: number;
  finished: boolean;
  odometer: Reading; odometerUnit: string; trueKm: number | null;
  fluid: string; out: Reading | null; in: Reading | null; additive: Reading | null;
  torque: { role: string; target: number; used: number; state: string }[];
  deviations: string[];
  found: Record<string, Reading>; done: Record<string, Reading>; left: Record<string, Reading>;
  notes: { step: number; text: string }[]; photos: string[];
  levelVerified: string; vehicleLevel: string; defect: string; replaces: string;
  demo: boolean;
  /** Ids of entries or follow-ups that this one settles. */
  closes?: string[];
  /** An event that touches units, by its id in the rules: `water-crossing`. Its `unit` may be the whole vehicle. */
  event?: string;
  /** What was seen or done, in the owner's words; absent where a job's own fields tell it. */
  says?: string;
  flush?: Reading | null;
  batch?: string; parts?: string; cost?: string; receipt?: string; waste?: string;
};
export type FollowUp = {
  id: string; entry: string; vehicle: string; unit: string; kind: string; says: string;
  /** ISO date, '' where distance decides. */
  due: string;
  /** Indicated, in the unit of the odometer; null where none. */
  from: number | null; to: number | null; hardStop: number | null; odometerUnit: string;
};

/** What the store keeps of the log: the entry and the looks that it leaves to be done. Never changed once stored. */
export type LogRecord = { id: string; entry: Entry; followUps: FollowUp[]; at: number };

// ---- vehicles: one shape for content/vehicles/<id>.yaml, data/vehicles/<id>.json and the phone's own

/** As the trade writes it, a number, a space, a unit: `2.35 L`. */
export type Amount = string;
export type State = 'unverified' | 'plausible' | 'verified' | 'conflict' | 'superseded';
export type Origin = { source: string; state: State; date?: string; page?: string; note?: string };
export type Stated = Origin & { value: Amount; other?: Stated[] };
/** What is seen of a final drive, face on, away from the propshaft; what is left out is not known. */
export type Outline = {
  face?: 'cover' | 'smooth'; shape?: 'round' | 'flat-oval' | 'tall-oval' | 'egg' | 'square' | 'cornered'; bolts?: number;
  /** `middle`, or an hour of the clock: `3 o'clock`. */
  fill?: string;
  plug?: 'straight' | 'taper' | 'push'; key?: 'square' | 'hexagon' | 'head'; drain?: 'present' | 'none';
  housing?: 'beam' | 'independent'; ends?: 'plain' | 'swivels'; marks?: string;
};
/** A unit as it is written down; schema/vehicle.json says what each key may hold. */
export type UnitSheet = {
  code: string; kind: string; label: string; place: string; words?: string[]; opens_by?: 'cover' | 'plugs' | 'pan';
  cover?: string; outline?: Outline; tag?: string; ratio?: number; ring_teeth?: number; pinion_teeth?: number; diff?: string;
  yellow_metal?: 'yes' | 'no' | 'unknown';
  fluid?: Origin & { grade: string; category: string; additive?: 'none' | 'included' | 'separate' | 'unknown' };
  fills?: Record<string, Stated>;
  level?: Origin & { low: Amount; high: Amount; below: string; attitude?: string };
  plugs?: Record<string, { tool: string; thread?: string; seal?: string }>;
  fasteners?: Record<string, {
    name: string; count: number; thread: string; class?: string; torque: Stated; thread_state: string;
    pattern: 'ring' | 'rail' | 'inline' | 'single'; stages?: Amount[]; then?: string;
  }>;
  fill_hole_offset?: Amount; oil_surface?: Amount; note?: string;
};
export type TyreEra = Origin & { since: Amount; since_date?: string; size: string; factor: number; method: string };
/** From `since` on the vehicle is used so; before the first it is used as `severity` says. */
export type SeverityEra = { since: Amount; since_date: string; use: 'normal' | 'severe' };
/** One's own interval for a unit; it stands in place of the rule for its kind. */
export type OwnRule = Origin & { units: string[]; distance?: Amount; months?: number; severe_factor?: number };
export type Sheet = {
  rev: number; name: string; short: string; invented: boolean; model_year?: number;
  odometer: { unit: 'mi' | 'km'; digits: number; reading: Amount; rollovers?: number; as_of: string };
  wheelbase?: Amount; kerb_mass?: Amount; rear_share?: Amount; coldest_start: Amount;
  severity: 'normal' | 'severe'; severity_eras?: SeverityEra[]; tyre_eras: TyreEra[]; service?: OwnRule[];
  /** What changed at which revision, the last one last. */
  changed?: { rev: number; date: string; why: string }[];
  note?: string; units: Record<string, UnitSheet>;
};
/** What the store keeps of one's own vehicle; null was taken away. The newest `rev` wins. */
export type VehicleRecord = { id: string; rev: number; at: number; sheet: Sheet | null };

// ---- data/site.json: what the pages need of the content besides the cards themselves

export type ServiceRule = Origin & {
  kinds: string[];
  /** True metres; null where age alone decides. `distanceKm` is the rounded one for an odometer in kilometres. */
  distance: number | null; distanceKm: number | null;
  months: number; testMonths: number | null; severeFactor: number;
  /** Work that sets it back: card numbers. */
  resetBy: string[]; testResetBy: string[];
};
export type EventRule = Origin & {
  /** `water-crossing`, `wheel-refitted`, `joint-opened`, `limited-slip-refilled`. */
  id: string; event: string; action: string;
  /** Work that brings it about: card numbers, or its own id where it is logged as an event. */
  after: string[];
  /** Kinds of unit that it touches; empty: the unit of the entry. */
  kinds: string[]; onlyIf: '' | 'limited-slip';
  /** Kind of the look that it asks for, and of the follow-up made: `inspection`, `re-torque`, `leak`, `chatter`. */
  look: string;
  days: number;
  /** True metres after it; 0 where there is none. */
  earliest: number; latest: number; hardStop: number;
  /** Work that settles it: card numbers. */
  closedBy: string[];
};
export type CardRow = {
  no: string; rev: number; title: string; purpose: string; kinds: string[]; opensBy: string; diffs: string[]; says: string;
  capacity: string[]; torque: string[];
  /** Slots that a job by this card asks of its unit. */
  needs: string[];
};
export type Cell = string | number;
/** A reference table with all its cells, as in data/tables.json; a column is label, unit, state. The state of a row wins over its column's, that over the table's. */
export type TableData = {
  id: string; title: string; words: string; state: string; columns: string[][];
  rows: Cell[][]; states: Record<string, string>;
};
export type VehicleRow = { id: string; name: string; short: string; invented: boolean; units: number };
export type SiteData = {
  notice: string; demoNote: string; valuesAsOf: string;
  sources: Record<string, string>;
  /** None where there are many: garage.js puts in those chosen on this phone. */
  vehicles: VehicleRow[];
  /** How many a person chooses from (data/choice.json, `VehicleRow[]`); 0 where all stand in `vehicles`. */
  chosenFrom: number;
  cards: CardRow[];
  /** Every work that may be logged: `P01` to `P25`, `event`, `test`, with its words. */
  work: Record<string, { title: string; does: 'change' | 'part-change' | 'top-up' | 'look' | 'other' }>;
  service: ServiceRule[]; events: EventRule[];
  /** Which labels a slot has: `fill.refill` -> `Drain and refill`. */
  slots: Record<string, string>;
  /** Every spelling of every unit that an amount may have: SI value = value * factor + offset. */
  units: Record<string, { symbol: string; dimension: string; factor: number; offset: number }>;
};

// ---- data/keys/<page>.json: keys that lead to a unit, a kind or an oil

export type KeyQuestion = {
  id: string; short: string; ask: string; how: string;
  entry: 'pick' | 'count' | 'text' | 'turns' | 'teeth' | 'grade' | 'temperature';
  /** What an answer proves: `place` proves nothing, since axles are swapped. */
  proof: 'settles' | 'helps' | 'place';
  /** How it confirms what is found; '' where it does not. */
  check: string;
  /** `fits`: what a record may say where the answer is true. */
  options: { id: string; label: string; fits: string[] }[];
  cautions: { severity: string; says: string }[];
};
export type KeyKind = {
  id: string; title: string; says: string; card: string;
  /** What can be said of it by question; one that is absent says nothing. */
  facts: Record<string, string[]>;
  outline: Outline | null;
};
export type KeyRule = {
  when: Record<string, string[]>;
  verdict: 'buy' | 'approval' | 'manual' | 'part-of-fill' | 'none' | 'fits' | 'stop' | 'note' | 'open';
  gives: string; says: string; source: string; state: string;
};
/** The thinnest hot grade for a load, up to an oil temperature in °C; null for any above. */
export type KeyLeast = { load: string; upto: number | null; grade: string; says: string; source: string; state: string };
export type KeyTurn = { id: string; title: string; asks: string[]; rules: KeyRule[]; notes: KeyRule[]; least: KeyLeast[] };
/** Limits of a gear oil grade: °C for 150 000 mPa·s, mm²/s at 100 °C. */
export type KeyGrade = { grade: string; cold: number | null; thin: number | null; thick: number | null };
export type Key = {
  page: string; title: string; units: boolean; questions: KeyQuestion[]; kinds: KeyKind[]; turns: KeyTurn[]; grades: KeyGrade[];
};

// ---- what is due, and what the log shows

export type Due = {
  vehicle: string; unit: string;
  /** `change`, `test`, or the kind of the follow-up: `leak`, `re-torque`, `chatter`, `inspection`, … */
  what: string;
  state: 'due' | 'coming' | 'clear' | 'unknown';
  /** What decides: the first of them to come. '' where it is unknown. */
  bound: '' | 'distance' | 'months' | 'event';
  /** The entry it counts from, '' where none. */
  since: string;
  /** Indicated odometer at which it is due, rollovers counted in, whole units of the odometer; null where none. */
  odometer: number | null;
  /** What the odometer will show there, with its own number of digits; '' where null. */
  shows: string;
  /** ISO date by months or days, '' where none. */
  date: string;
  /** True metres past the distance bound (below 0: still to go); null where there is none. */
  over: number | null;
  /** Days past the date bound (below 0: still to go); null where there is none. */
  late: number | null;
  /** When the distance will be reached at the owner's own pace. */
  forecast: { date: string; early: string; late: string } | null;
  /** Why there is no forecast or nothing known, in words; '' where nothing is missing. */
  why: string;
  /** Follow-up: do not drive past this indicated odometer; null where none. */
  hardStop: number | null;
  /** Whether the hard stop is passed. */
  stop: boolean;
  /** Follow-up: its id; '' for a service. */
  followUp: string;
};
export type Finding = {
  /** The rule that found it: the name of its file. */
  rule: string; vehicle: string; unit: string;
  severity: 'warning' | 'caution' | 'notice';
  /** One or two sentences: what is off. */
  says: string;
  /** The figures it rests on, each with its unit and where it stands. */
  evidence: string[];
  /** What would settle it. */
  settle: string;
  /** Ids of the entries. */
  entries: string[];
};

// ---- the page

/** What may stand inside an element; nothing stands for what is not there. */
export type Child = Node | string | null | undefined | false | Child[];
