// A sheet is never edited in place: a change makes the next revision, which says when and why.

/** @typedef {import('../types.js').Sheet} Sheet */
/** @typedef {import('../types.js').Stated} Stated */

/**
 * @param {Sheet} sheet @param {(draft: Sheet) => void} edit @param {string} why @param {string} today ISO date
 * @returns {Sheet | null} null where the edit changes nothing
 */
export function revised(sheet, edit, why, today) {
  const draft = structuredClone(sheet)
  edit(draft)
  tidy(draft)
  if (JSON.stringify(draft) === JSON.stringify(sheet)) return null
  const rev = sheet.rev + 1
  const { units, ...head } = draft
  // Units stand last, as in a file written by hand.
  return { ...head, rev, changed: [...(sheet.changed ?? []), { rev, date: today, why: why.slice(0, 400) }], units }
}

/** Take out what holds nothing, so that a field left empty is a key left out. @param {any} value */
function tidy(value) {
  for (const [key, one] of Object.entries(value)) {
    if (one === '' || one === undefined || one === null) delete value[key]
    else if (typeof one === 'object') {
      tidy(one)
      if (!Object.keys(one).length && key !== 'units') delete value[key]
    }
  }
}

/** @param {string} name @returns {string} a short name to begin with: the last word of the name */
export const shortOf = (name) => name.trim().split(/\s+/).at(-1) ?? ''

/**
 * @param {string} short @param {string} tail what makes it unlike any other phone's
 * @returns {string} such as marten-x7f2: a file name, an address and a key all in one
 */
export function idOf(short, tail) {
  const plain = short.toLowerCase().normalize('NFD').replace(/[\u0300-\u036f]/g, '').replace(/[^a-z0-9]+/g, '-').replace(/^-+|-+$/g, '').slice(0, 40)
  const named = /^[a-z]/.test(plain) ? plain : `vehicle${plain ? `-${plain}` : ''}`
  return `${named.replace(/-+$/, '')}-${tail}`
}

/** @param {string} short @param {string[]} taken codes of all other units @returns {string} such as OB for Old Blue */
export function prefixOf(short, taken) {
  const words = short.toUpperCase().normalize('NFD').replace(/[^A-Z0-9 -]/g, '').split(/[ -]+/).filter(Boolean)
  const first = (words.length > 1 ? words.map((word) => word.charAt(0)).join('').slice(0, 3) : words[0]?.slice(0, 2)) || 'V'
  const used = new Set(taken.map((code) => code.split('-')[0]))
  let turn = 1
  while (used.has(turn > 1 ? `${first}${turn}` : first)) turn += 1
  return turn > 1 ? `${first}${turn}` : first
}

/**
 * @param {Sheet} sheet of the site @param {string} prefix @param {string} today
 * @returns {Sheet} one's own copy: its own codes, its first revision; what was invented stays invented
 */
export function copyOf(sheet, prefix, today) {
  const { changed: _, rev: was, units, ...rest } = structuredClone(sheet)
  const coded = Object.fromEntries(Object.entries(units).map(([id, unit]) =>
    [id, { ...unit, code: `${prefix}-${unit.code.includes('-') ? unit.code.slice(unit.code.indexOf('-') + 1) : unit.code}` }]))
  return { ...rest, rev: 1, changed: [{ rev: 1, date: today, why: `Copied from ${sheet.short}, revision ${was}.` }], units: coded }
}
