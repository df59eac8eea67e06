// The gear oil grades told by their thickness at 100 °C, in m²/s, the thinnest first: `thick` is not part of the grade.
export const grades: { grade: string; thin: number; thick: number | null }[];
