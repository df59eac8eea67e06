// A calculator's module leaves out what goes without saying; here it is said.

/** @typedef {import('../data/calculator.js').Calculator} Calculator */
/** @typedef {import('../data/calculator.js').Short} Short */

const none = () => []

/** @param {Short} short @returns {Calculator} */
export function whole({ inputs, outputs, refuse = [], slips = [], carry = {}, figure = '', ...rest }) {
  const ids = inputs.map(({ id }) => id)
  const waits = (/** @type {number[] | undefined} */ places) => places?.map((place) => ids[place]) ?? ids
  /** @type {Record<string, [string, number]>} */
  const shown = {}
  for (const one of [...inputs, ...outputs]) if ('unit' in one) shown[one.id] = [one.unit, 'digits' in one ? one.digits ?? 3 : 3]
  return {
    refused: none, slipped: none, carry, figure, ...rest,
    inputs: inputs.map((one) => 'options' in one ? picked(one) : { kind: 'typed', minus: false, ...one }),
    outputs: outputs.map((one) => ({ also: [], digits: 3, onlyWords: false, words: [], ...one, needs: waits(one.needs) })),
    refuse: refuse.map(({ say, needs }) => ({ say, needs: waits(needs) })),
    slips: slips.map(({ say, needs, names }) => ({ say, needs: waits(needs),
      names: Object.fromEntries([...say.matchAll(/\{([^}]*)\}/g)].map(([, name]) => [name, names?.[name] ?? shown[name]])) })),
  }
}

/** @param {import('../data/calculator.js').ShortPicked} short @returns {import('../data/calculator.js').Picked} */
function picked({ carries, options, ...rest }) {
  const option = (/** @type {[string, ...(number | string)[]]} */ [label, ...row]) => ({
    label, state: String(row[carries.length] ?? 'plausible'),
    gives: Object.fromEntries(carries.map((name, place) => [name, Number(row[place])])),
  })
  return { kind: 'picked', ...rest, options: Object.fromEntries(Object.entries(options).map(([id, row]) => [id, option(row)])) }
}
