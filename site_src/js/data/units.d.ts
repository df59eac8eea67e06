// The shape of the module that the build writes from content/units.txt. SI value = value * factor + offset.
export type Unit = { dimension: string; factor: number; offset: number };
export const units: Record<string, Unit>;
