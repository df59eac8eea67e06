// The calculators that a job is judged with, by id; the shape is that of calculators.js.
export { calculators } from './calculators.js';
