// SHA-256 of a text, by the browser's own means.

/**
 * @param {string} text
 * @returns {Promise<string>} hexadecimal, of its UTF-8 bytes; '' where the browser makes none, as on plain http
 */
export async function sha256(text) {
  if (!globalThis.crypto?.subtle) return ''
  const made = await crypto.subtle.digest('SHA-256', new TextEncoder().encode(text))
  return [...new Uint8Array(made)].map((byte) => byte.toString(16).padStart(2, '0')).join('')
}
