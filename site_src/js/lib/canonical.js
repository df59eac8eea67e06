// One text for one content, in whatever order its keys stand: to tell the same from another, and to rank them.

/**
 * @param {unknown} value as JSON can hold it; a key without a value counts as absent
 * @returns {string}
 */
export function canonical(value) {
  if (Array.isArray(value)) return `[${value.map((one) => canonical(one ?? null)).join(',')}]`
  if (value === null || typeof value !== 'object') return JSON.stringify(value) ?? 'null'
  const entries = Object.entries(value).filter(([, one]) => one !== undefined)
  entries.sort(([a], [b]) => (a < b ? -1 : 1))
  return `{${entries.map(([key, one]) => `${JSON.stringify(key)}:${canonical(one)}`).join(',')}}`
}
