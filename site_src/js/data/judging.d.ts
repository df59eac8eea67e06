// The calculators that a job is judged with, by id, with no more than it asks of them. Values are in coherent SI.
type Judge = {
  inputs: { id: string; options: Record<string, { gives: Record<string, number> }> }[];
  work(values: Record<string, number>): Record<string, number>;
};
export const calculators: Record<string, Judge>;
