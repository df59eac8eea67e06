// The shapes that go between the build, the page's library and the store. Amounts are SI: m³, N·m, m, s, kg, K.
// Times of events are epoch milliseconds of the phone's clock; minutes are minutes.

/** A number as typed: what was written, in which unit, and its value in SI. Text and picked words have no si. */
export type Reading = { typed: string; unit: string; si: number | null };

// ---- made by the build: data/cards/<no>.json and data/vehicles/<id>.json

export type Way = { do: string; hands: number; wait: number; waitKind: string; label: boolean };
export type Step = {
  no: number;
  after: { step: number; handsOnly: boolean }[];
  /** Keyed by the option of the card's choice; '' where the card has none or the step is the same for all. */
  ways: Record<string, Way>;
  lifts: boolean;
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
  parts: string[];
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
  label: string; main: string; also: string; state: string; origin: string; rivals: { main: string; lost: boolean }[];
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
export type Unit = {
  id: string; code: string; title: string; kind: string; diff: string;
  slots: Record<string, Slot>;
  fasteners: Record<string, Fastener>;
  /** m³ and its state, null where unknown. */
  refill: { si: number; state: string } | null;
  level: { low: number; high: number; below: string } | null;
  fillHoleOffset: number | null;
  oilSurface: number | null;
};
export type Vehicle = {
  id: string; rev: number; name: string; short: string; invented: boolean;
  /** `reading` as indicated, in `unit`. */
  odometer: { unit: 'mi' | 'km'; digits: number; reading: number; asOf: string; rollovers: number };
  /** True distance per indicated distance, of the tyres now on it. */
  tyreFactor: { factor: number; state: string };
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
};
export type FollowUp = {
  id: string; entry: string; vehicle: string; unit: string; kind: string; says: string;
  /** ISO date, '' where distance decides. */
  due: string;
  /** Indicated, in the unit of the odometer; null where none. */
  from: number | null; to: number | null; hardStop: number | null; odometerUnit: string;
};

// ---- the page

/** What may stand inside an element; nothing stands for what is not there. */
export type Child = Node | string | null | undefined | false | Child[];
