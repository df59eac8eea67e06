// Pictures as text and back: a file of text has no other place for their bytes.

/** @typedef {{type: string, bytes: number, data: string | null}} PlainBlob data: a data address, null where left out */

/**
 * The same records with text in place of every picture; those without are not copied.
 * @param {Record<string, any[]>} stores @param {boolean} bytes with what is in the pictures
 * @returns {Promise<Record<string, any[]>>}
 */
export async function plain(stores, bytes) {
  /** @type {Record<string, any[]>} */
  const out = {}
  for (const [name, records] of Object.entries(stores)) {
    const all = (out[name] = /** @type {any[]} */ ([]))
    for (const one of records) all.push(await without(one, bytes))
  }
  return out
}

/** @param {any} record @param {boolean} bytes @returns {Promise<any>} */
async function without(record, bytes) {
  const pictures = Object.entries(record ?? {}).filter(([, value]) => value instanceof Blob)
  if (!pictures.length) return record
  const copy = { ...record }
  for (const [key, value] of pictures) copy[key] = { type: value.type, bytes: value.size, data: bytes ? await address(value) : null }
  return copy
}

/** @param {Blob} blob @returns {Promise<string | null>} as a data address, null where the phone lost its bytes */
function address(blob) {
  return new Promise((resolve) => {
    const reader = new FileReader()
    reader.onloadend = () => resolve(/** @type {string | null} */ (reader.result))
    reader.readAsDataURL(blob)
  })
}

/**
 * @param {PlainBlob} blob of a file that was read (lib/restore.js refuses what is no picture)
 * @returns {Blob}
 */
export function picture({ type, data }) {
  const text = atob((data ?? '').slice((data ?? '').indexOf(',') + 1))
  const bytes = new Uint8Array(text.length)
  for (let i = 0; i < text.length; i += 1) bytes[i] = text.charCodeAt(i)
  return new Blob([bytes], { type })
}

/** @param {Blob} one @param {Blob} other @returns {Promise<boolean>} whether they hold the same bytes */
export async function alike(one, other) {
  if (one.size !== other.size || one.type !== other.type) return false
  const [a, b] = (await Promise.all([one.arrayBuffer(), other.arrayBuffer()])).map((part) => new Uint8Array(part))
  return Boolean(a && b && a.every((byte, i) => byte === b[i]))
}
