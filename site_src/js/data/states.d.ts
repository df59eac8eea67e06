// From the best to the one that trusts least.
export const states: string[];
