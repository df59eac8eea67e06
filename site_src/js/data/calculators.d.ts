// The shape of the module that the build writes from content/calculators/. Values are in coherent SI.
export type Typed = {
  id: string; kind: "typed"; label: string; unit: string; why: string;
  min: [number, string]; max: [number, string]; minus: boolean;
};
export type Picked = {
  id: string; kind: "picked"; label: string;
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
  draw?: { x: string; from: number; to: number; y: string; log: boolean };
  work(values: Record<string, number>): Record<string, number>;
  refused(values: Record<string, number>): boolean[];
};
export const calculators: Record<string, Calculator>;
// From the best to the one that trusts least.
export const states: string[];
