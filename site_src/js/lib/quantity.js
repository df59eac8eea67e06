// Numbers as people type them, and as they are shown. Strict on reading: a comma that could be either a decimal
// comma or a thousands mark is refused in words, because a capacity read wrong by a thousand is worse than a question.

/** @typedef {{factor: number, offset: number}} Unit SI value = value * factor + offset */
/** @typedef {{ok: true, value: number} | {ok: false, why: string}} Reading */

/** @param {string} why @returns {Reading} */
const refuse = (why) => ({ ok: false, why })

/**
 * @param {string} typed
 * @param {boolean} [minus] whether the range reaches below zero
 * @returns {Reading} `5,7` and `5.7` are 5.7
 */
export function read(typed, minus = false) {
  const text = typed.trim().replace(/^[−–]/, '-')
  if (text === '') return refuse('Type a number.')
  if (/^[-+]$/.test(text)) return refuse('Type digits after the sign.')
  if (/[٠-٩۰-۹]/.test(text)) return refuse('Use the digits 0 to 9.')
  if (/\s/.test(text)) return refuse('Leave out the space. Type 1234.5 and pick the unit beside it.')
  if (/^[-+]?[\d.,]+e[-+]?\d*$/i.test(text)) return refuse('Write the number out, without e.')
  if (!/^[-+]?[\d.,]+$/.test(text)) return refuse('Only digits and one point or comma. Pick the unit beside it.')
  const marks = text.match(/[.,]/g) ?? []
  if (marks.length > 1) return refuse('Only one point or comma, for the decimals. Leave out marks between thousands.')
  if (/^[-+]?[.,]/.test(text)) return refuse('Write a 0 before the point, such as 0.5.')
  if (/[.,]$/.test(text)) return refuse('Type the decimals, or leave out the point.')
  if (/^[-+]?[1-9]\d{0,2},\d{3}$/.test(text)) {
    const [whole, rest] = text.split(',')
    return refuse(`${text} may be ${whole}${rest} or ${whole}.${rest}. Type one of the two.`)
  }
  if (text.startsWith('-') && !minus) return refuse('It cannot be less than zero.')
  const value = Number(text.replace(',', '.'))
  return Number.isFinite(value) ? { ok: true, value } : refuse('That number is too large.')
}

/** @param {number} value @param {Unit} unit @returns {number} */
export const toSi = (value, unit) => value * unit.factor + unit.offset

/** @param {number} si @param {Unit} unit @returns {number} */
export const fromSi = (si, unit) => (si - unit.offset) / unit.factor

/**
 * Slack of a billionth: 10.4 °F is −12 °C, though the conversion may miss it in the last digit.
 * @param {number} si @param {number} min @param {number} max @returns {-1 | 0 | 1} below, within, above
 */
export function side(si, min, max) {
  const slack = 1e-9 * Math.max(Math.abs(min), Math.abs(max))
  if (si < min - slack) return -1
  return si > max + slack ? 1 : 0
}

/**
 * @param {number} value
 * @param {number} digits significant digits; 0 stands for a whole number, such as a count
 * @returns {string} never with an exponent; zeros kept, since they say how exact the number is
 */
export function format(value, digits) {
  if (!Number.isFinite(value)) return '–'
  if (!digits) return String(Math.round(value) || 0).replace('-', '−')
  const rounded = Number(value.toPrecision(digits))
  if (rounded === 0) return '0'
  const decimals = Math.max(0, digits - 1 - Math.floor(Math.log10(Math.abs(rounded)) + 1e-12))
  return rounded.toFixed(Math.min(decimals, 12)).replace('-', '−')
}

/**
 * @param {string} number as shown
 * @param {string} symbol
 * @returns {string} a plain number has no unit; a difference of temperatures is shown in degrees
 */
export const withUnit = (number, symbol) => (symbol === '1' ? number : `${number} ${symbol.replace('Δ', '')}`)

/**
 * @param {number} value in the unit of the bands
 * @param {{below?: number, upto?: number, say: string}[]} bands
 * @returns {string} the word of the first band the value does not pass, or nothing
 */
export function word(value, bands) {
  const near = (/** @type {number} */ edge) => 1e-9 * Math.max(1, Math.abs(edge))
  const found = bands.find(({ below, upto }) =>
    below !== undefined ? value < below - near(below) : upto === undefined || value <= upto + near(upto),
  )
  return found ? found.say : ''
}

/**
 * @param {number} low @param {number} high @param {number} [wanted] about how many steps
 * @returns {number[]} round numbers from low to high
 */
export function ticks(low, high, wanted = 5) {
  const raw = (high - low) / wanted
  const power = 10 ** Math.floor(Math.log10(raw))
  const step = power * (raw / power > 5 ? 10 : raw / power > 2 ? 5 : raw / power > 1 ? 2 : 1)
  const out = []
  for (let at = Math.ceil(low / step - 1e-9); at * step <= high + step * 1e-9; at += 1) out.push(Number((at * step).toPrecision(12)))
  return out
}

/**
 * @param {number} low above zero @param {number} high
 * @returns {number[]} 1, 2, 5 of each decade between low and high; only the 1 where that would crowd
 */
export function logTicks(low, high) {
  const out = []
  const crowded = Math.log10(high / low) > 3
  for (let power = Math.floor(Math.log10(low)); power <= Math.log10(high); power += 1) {
    for (const digit of crowded ? [1] : [1, 2, 5]) out.push(Number((digit * 10 ** power).toPrecision(12)))
  }
  return out.filter((tick) => tick >= low && tick <= high)
}
