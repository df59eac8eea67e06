// The shape of the modules that the build writes from content/calculators/, data/calc/<id>.js. Values are in coherent SI.
export type Typed = {
  id: string; kind: "typed"; label: string; unit: string; why: string;
  min: [number, string]; max: [number, string]; minus: boolean;
  optional?: boolean; take?: string;
};
export type Picked = {
  id: string; kind: "picked"; label: string; optional?: boolean; take?: string;
  options: Record<string, { label: string; state: string; gives: Record<string, number> }>;
};
export type Band = { below?: number; upto?: number; say: string };
export type Output = {
  id: string; label: string; unit: string; also: string[]; digits: number; onlyWords: boolean; words: Band[];
  needs: string[];
};
export type Calculator = {
  title: string; source: string; state: string; inputs: (Typed | Picked)[]; outputs: Output[];
  refuse: { say: string; needs: string[] }[];
  slips: { say: string; needs: string[]; names: Record<string, [unit: string, digits: number]> }[];
  carry: Record<string, "buy-list" | "job">;
  figure: string;
  draw?: { x: string; from: number; to: number; y: string; log: boolean };
  work(values: Record<string, number>): Record<string, number>;
  refused(values: Record<string, number>): boolean[];
  slipped(valuesAndResults: Record<string, number>): boolean[];
};

// As the modules hold it: what goes without saying is left out, `needs` are places in the list of inputs (without: all),
// `names` only those of steps.
type Waits<One> = Partial<Omit<One, "needs">> & { needs?: number[] };
export type ShortPicked = Omit<Picked, "kind" | "options"> & {
  carries: string[]; options: Record<string, [label: string, ...(number | string)[]]>; // its constants, its state
};
export type Short = Omit<Partial<Calculator>, "inputs" | "outputs" | "refuse" | "slips"> & {
  title: string; source: string; state: string; work: Calculator["work"];
  inputs: (Omit<Typed, "kind" | "minus"> & { minus?: boolean } | ShortPicked)[];
  outputs: (Waits<Output> & { id: string; label: string; unit: string })[];
  refuse?: (Waits<Calculator["refuse"][0]> & { say: string })[];
  slips?: (Waits<Calculator["slips"][0]> & { say: string })[];
};
