// What a photo must be before it is kept: which kind of file, which size, not blank, and nothing in it but the picture.

/** Pixels on the long side of a photo that is kept: enough to read a tag, small enough for a phone's storage. */
export const LONGEST = 1600

/** Picture files by their first bytes; a file's name and type are only what somebody called it. */
const KINDS = /** @type {const} */ ([
  ['jpeg', /^\xff\xd8\xff/],
  ['png', /^\x89PNG\r\n\x1a\n/],
  ['webp', /^RIFF[^]{4}WEBP/],
  ['heic', /^[^]{4}ftyp(hei[cmsx]|hev[cmsx]|mif1|msf1)/],
  ['avif', /^[^]{4}ftypavi[fs]/],
])

/**
 * @param {Uint8Array} bytes the first 16 or more of a file
 * @returns {'jpeg' | 'png' | 'webp' | 'heic' | 'avif' | ''} '' for everything else, SVG and text among it
 */
export function kind(bytes) {
  const head = String.fromCharCode(...bytes.subarray(0, 16))
  return KINDS.find(([, magic]) => magic.test(head))?.[0] ?? ''
}

/**
 * @param {number} width pixels
 * @param {number} height pixels
 * @param {number} longest pixels that the long side may have
 * @returns {{width: number, height: number}} the same shape in whole pixels, never larger than it was
 */
export function fit(width, height, longest = LONGEST) {
  const share = Math.min(1, longest / Math.max(width, height))
  return { width: Math.max(1, Math.round(width * share)), height: Math.max(1, Math.round(height * share)) }
}

/** Levels of 255 that a colour may differ over a picture with nothing on it: what JPEG alone adds to one colour. */
const FLAT = 4

/**
 * A canvas that ran out of memory is black or white all over, and so is a picture of nothing.
 * @param {Uint8ClampedArray} pixels red, green, blue, alpha by turns
 * @returns {boolean} whether all of it is one colour
 */
export function blank(pixels) {
  const least = [255, 255, 255]
  const most = [0, 0, 0]
  for (let at = 0; at < pixels.length; at += 4) {
    for (let colour = 0; colour < 3; colour += 1) {
      const level = pixels[at + colour] ?? 0
      if (level < (least[colour] ?? 0)) least[colour] = level
      if (level > (most[colour] ?? 0)) most[colour] = level
      if ((most[colour] ?? 0) - (least[colour] ?? 0) > FLAT) return false
    }
  }
  return true
}

const SCAN = 0xda // where the picture's own data begins; nothing of it is touched
const NEEDED = [0xe0, 0xe2, 0xee] // JFIF, colour profile, how colours are coded
const COMMENT = 0xfe

/**
 * Take out of a JPEG what tells of the place, the time and the camera: Exif, XMP and every other remark. A browser
 * that makes a JPEG may write an Exif part of its own.
 * @param {Uint8Array} bytes a JPEG
 * @returns {Uint8Array<ArrayBuffer> | null} the same picture without them; null for what is not a whole JPEG head
 */
export function bare(bytes) {
  if (bytes[0] !== 0xff || bytes[1] !== 0xd8) return null
  const kept = new Uint8Array(bytes.length)
  kept.set([0xff, 0xd8])
  let from = 2
  let to = 2
  while (from + 4 <= bytes.length && bytes[from] === 0xff) {
    const marker = bytes[from + 1] ?? 0
    const end = marker === SCAN ? bytes.length : from + 2 + (bytes[from + 2] ?? 0) * 256 + (bytes[from + 3] ?? 0)
    if (end > bytes.length) return null
    const remark = marker === COMMENT || (marker >= 0xe0 && marker <= 0xef && !NEEDED.includes(marker))
    if (!remark) {
      kept.set(bytes.subarray(from, end), to)
      to += end - from
    }
    if (marker === SCAN) return kept.slice(0, to)
    from = end
  }
  return null
}
