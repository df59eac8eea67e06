// The most that a bolt takes, by the site's own calculator, so that the phone judges a torque as the build does.
import { calculator as one } from '../data/calc/torque-ceiling.js'

const THREADS = /** @type {Record<string, string>} */ ({ dry: 'dry', 'new-plated': 'dry', oiled: 'oiled' })
// ISO 261 coarse pitches: a thread written with its coarse pitch is the one written without.
const COARSE = /** @type {Record<string, string>} */ ({ 'M6×1': 'M6', 'M8×1.25': 'M8', 'M10×1.5': 'M10', 'M12×1.75': 'M12', 'M14×2': 'M14' })

/**
 * @param {string} thread @param {string} strength class, such as 8.8 @param {string} threads their state
 * @returns {number | null} N·m; null where the calculator does not know this bolt
 */
export function ceiling(thread, strength, threads) {
  const pick = (/** @type {string} */ id, /** @type {string} */ word) => {
    const input = one.inputs.find((each) => each.id === id)
    if (input?.kind !== 'picked' || !word) return null
    if (id === 'state') return input.options[word]?.gives ?? null
    const asked = COARSE[word] ?? word
    return Object.values(input.options).find(({ label }) => [label, label.split(' ')[0], label.replace(/ inch$/, '')].includes(asked))?.gives ?? null
  }
  const given = [pick('thread', thread.replace('x', '×')), pick('mark', strength), pick('state', THREADS[threads] ?? '')]
  if (given.some((part) => !part)) return null
  return one.work(Object.assign({}, ...given)).torque ?? null
}
