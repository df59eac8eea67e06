// A square code that a phone's camera reads (QR code, ISO/IEC 18004): bytes of UTF-8, error correction level M,
// versions 1 to 10. The steps are those of the standard, in its order: codewords, blocks with their check codewords,
// placement, mask, format and version.

/** @typedef {boolean[][]} Grid rows of modules, true is dark; no quiet zone */

// Version 1 to 10 at level M: check codewords of a block, blocks, data codewords of all blocks.
const SIZES = [[10, 1, 16], [16, 1, 28], [26, 1, 44], [18, 2, 64], [24, 2, 86], [16, 4, 108], [18, 4, 124], [22, 4, 154], [22, 5, 182], [26, 5, 216]]

/** A mask turns the modules where its number is 0. @type {((y: number, x: number) => number)[]} */
const MASKS = [
  (y, x) => (y + x) % 2,
  (y) => y % 2,
  (_, x) => x % 3,
  (y, x) => (y + x) % 3,
  (y, x) => (Math.floor(y / 2) + Math.floor(x / 3)) % 2,
  (y, x) => ((y * x) % 2) + ((y * x) % 3),
  (y, x) => (((y * x) % 2) + ((y * x) % 3)) % 2,
  (y, x) => (((y + x) % 2) + ((y * x) % 3)) % 2,
]

/**
 * @param {string} text at most 213 bytes of UTF-8
 * @returns {Grid} 21 modules square to 57, the smallest that holds the text
 * @throws {RangeError} where the text is too long
 */
export function qr(text) {
  const bytes = [...new TextEncoder().encode(text)]
  const version = 1 + SIZES.findIndex(([, , room], index) => bytes.length + (index < 9 ? 2 : 3) <= room)
  if (!version) throw new RangeError(`text for a code: at most 213 bytes expected, got ${bytes.length}. Shorten it.`)
  const [checks, blocks, room] = SIZES[version - 1]
  const codewords = interleaved(padded(bytes, version, room), blocks, checks)
  const size = 17 + 4 * version
  const blank = patterns(size, version)
  const path = places(blank)
  // The places of format and version are still light while masks are compared: the standard adds them afterwards.
  const drawn = MASKS.map((mask) => {
    const grid = blank.map((row) => row.map(Boolean))
    path.forEach(([y, x], index) => (grid[y][x] = bit(codewords[index >> 3] ?? 0, 7 - (index % 8)) !== (mask(y, x) === 0)))
    return grid
  })
  const points = drawn.map(penalty)
  const best = points.indexOf(Math.min(...points))
  sign(drawn[best], version, best)
  return drawn[best]
}

/** @param {number} number @param {number} place 0 is the lowest @returns {boolean} */
const bit = (number, place) => ((number >> place) & 1) === 1

/** Mode 0100 and the length, the bytes, 0000, then the two pad codewords in turn. @param {number[]} bytes @param {number} version @param {number} room @returns {number[]} */
function padded(bytes, version, room) {
  const whole = [...(version < 10 ? [] : [bytes.length >> 8]), bytes.length & 255, ...bytes]
  // The mode is half a codeword, so all that follows stands half a codeword later.
  const out = [4, ...whole].map((one, index, all) => ((one & 15) << 4) | ((all[index + 1] ?? 0) >> 4))
  while (out.length < room) out.push((out.length - whole.length) % 2 ? 0xec : 0x11)
  return out
}

/** Blocks of the same length, the last ones longer by one, taken in turn. @param {number[]} data @param {number} blocks @param {number} checks @returns {number[]} */
function interleaved(data, blocks, checks) {
  const short = Math.floor(data.length / blocks)
  let from = 0
  const parts = Array.from({ length: blocks }, (_, index) => data.slice(from, (from += short + (index < blocks - (data.length % blocks) ? 0 : 1))))
  const inTurn = (/** @type {number[][]} */ all) => Array.from({ length: Math.max(...all.map((one) => one.length)) }, (_, index) => all.flatMap((one) => one.slice(index, index + 1))).flat()
  return [...inTurn(parts), ...inTurn(parts.map((part) => checkwords(part, checks)))]
}

/** @param {number} a @param {number} b @returns {number} their product in the field of 256, modulo x⁸ + x⁴ + x³ + x² + 1 */
function times(a, b) {
  let product = 0
  for (let place = 7; place >= 0; place -= 1) product = (product << 1) ^ (bit(product, 7) ? 0x11d : 0) ^ (bit(b, place) ? a : 0)
  return product
}

/** Reed-Solomon: what is left of the data, divided by (x − 1)(x − 2)(x − 4)… @param {number[]} data @param {number} count @returns {number[]} */
function checkwords(data, count) {
  let divisor = [1]
  for (let step = 0, root = 1; step < count; step += 1, root = times(root, 2)) {
    const last = divisor
    divisor = [...last, 0].map((one, index) => one ^ times(last[index - 1] ?? 0, root))
  }
  const rest = [...data, ...Array(count).fill(0)]
  data.forEach((_, at) => {
    const factor = rest[at]
    divisor.forEach((one, index) => (rest[at + index] ^= times(one, factor)))
  })
  return rest.slice(data.length)
}

/** @param {number} size @param {number} version @returns {(boolean | null)[][]} all that does not depend on the text; null is free */
function patterns(size, version) {
  const grid = Array.from({ length: size }, () => /** @type {(boolean | null)[]} */ (Array(size).fill(null)))
  /** Square rings round a middle, the light ones named. @param {number} y @param {number} x @param {number} reach @param {number[]} light */
  const rings = (y, x, reach, light) => {
    for (let down = -reach; down <= reach; down += 1) {
      for (let right = -reach; right <= reach; right += 1) {
        if (grid[y + down]?.[x + right] !== undefined) grid[y + down][x + right] = !light.includes(Math.max(Math.abs(down), Math.abs(right)))
      }
    }
  }
  for (const [y, x] of [...formatPlaces(size).flat(), ...versionPlaces(size, version).flat(), [size - 8, 8]]) grid[y][x] = false
  for (let along = 8; along < size - 8; along += 1) grid[6][along] = grid[along][6] = along % 2 === 0
  const lines = version < 2 ? [] : version < 7 ? [6, size - 7] : [6, (size - 1) / 2, size - 7]
  for (const y of lines) for (const x of lines) if (Math.min(y, x) > 6 || Math.max(y, x) < size - 7 && y !== x) rings(y, x, 2, [1])
  for (const [y, x] of [[3, 3], [3, size - 4], [size - 4, 3]]) rings(y, x, 4, [2, 4])
  return grid
}

/** @param {(boolean | null)[][]} grid @returns {number[][]} the free modules in order: two columns up, the next two down, past column 6 */
function places(grid) {
  const out = []
  for (let right = grid.length - 1, up = true; right > 0; right -= right === 8 ? 3 : 2, up = !up) {
    for (let step = 0; step < grid.length; step += 1) {
      const y = up ? grid.length - 1 - step : step
      for (const x of [right, right - 1]) if (grid[y][x] === null) out.push([y, x])
    }
  }
  return out
}

/** @param {number} size @returns {number[][][]} two places of each bit of the format, the lowest first */
const formatPlaces = (size) => Array.from({ length: 15 }, (_, place) => [
  place < 8 ? [place < 6 ? place : place + 1, 8] : [8, place < 9 ? 7 : 14 - place],
  place < 8 ? [8, size - 1 - place] : [size - 15 + place, 8],
])

/** @param {number} size @param {number} version @returns {number[][][]} two places of each bit of the version, the lowest first; from 7 on */
const versionPlaces = (size, version) => (version < 7 ? [] : Array.from({ length: 18 }, (_, place) => {
  const [along, across] = [Math.floor(place / 3), size - 11 + (place % 3)]
  return [[along, across], [across, along]]
}))

/** @param {number} value @param {number} divisor @param {number} count @returns {number} the value with its check bits after it */
function checked(value, divisor, count) {
  let rest = value << count
  for (let place = 31 - Math.clz32(rest); place >= count; place -= 1) if (bit(rest, place)) rest ^= divisor << (place - count)
  return (value << count) | rest
}

/** Write format and version. Level M is 00, so the format's number is the mask's. @param {Grid} grid @param {number} version @param {number} mask */
function sign(grid, version, mask) {
  const size = grid.length
  const write = (/** @type {number[][][]} */ where, /** @type {number} */ bits) => where.forEach((both, place) => both.forEach(([y, x]) => (grid[y][x] = bit(bits, place))))
  write(formatPlaces(size), checked(mask, 0x537, 10) ^ 0x5412)
  write(versionPlaces(size, version), checked(version, 0x1f25, 12))
  grid[size - 8][8] = true
}

/** @param {Grid} grid @returns {number} points for all that confuses a reader: runs, blocks, shapes like a corner's, too dark or too light */
function penalty(grid) {
  const rows = grid.map((row) => row.map(Number).join(''))
  const columns = grid.map((_, x) => rows.map((row) => row[x]).join(''))
  let points = 0
  for (const line of [...rows, ...columns]) {
    for (const [run] of line.matchAll(/0{5,}|1{5,}/g)) points += run.length - 2
    points += 40 * [...`0000${line}0000`.matchAll(/00001011101|1011101(?=0000)/g)].length
  }
  for (let y = 1; y < rows.length; y += 1) for (let x = 1; x < rows.length; x += 1) if (new Set(rows[y - 1].slice(x - 1, x + 1) + rows[y].slice(x - 1, x + 1)).size === 1) points += 3
  const dark = rows.join('').replaceAll('0', '').length / grid.length ** 2
  return points + 10 * Math.floor(Math.abs(dark * 100 - 50) / 5)
}
