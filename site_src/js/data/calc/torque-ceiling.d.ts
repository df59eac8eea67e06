import type { Calculator } from '../calculator.js';
export const calculator: Calculator;
