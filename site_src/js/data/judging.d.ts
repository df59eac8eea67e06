// The calculators that a job is judged with, by id.
import type { Calculator } from './calculator.js';
export const calculators: Record<string, Calculator>;
