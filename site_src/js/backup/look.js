// A file looked over: what it would add to this phone, or in words why it is refused. Nothing is stored until `takeIn`.
import * as garage from '../garage.js'
import { merge } from '../lib/merge.js'
import { frame, records } from '../lib/restore.js'
import { sha256 } from '../phone/digest.js'
import { picture, plain } from '../phone/plain.js'
import * as store from '../store.js'

/** @typedef {import('../lib/restore.js').Records} Records */
/**
 * @typedef {import('../lib/merge.js').Merged & {ok: true, made: string, without: number, odd: string[], checked: string, seen: store.Stores}} Look
 *   checked: what is known of its digest, in words; without: photos whose picture is not in the file; odd: vehicles of it
 *   that this version cannot read, each with why
 */

const WRONG = 'The file was changed after it was made: its digest is not that of its records. Get it again from where it was kept, or take an older one.'

/**
 * @param {string} text of the file
 * @returns {Promise<Look | {ok: false, says: string}>} rejects where this phone's own store does not answer
 */
export async function look(text) {
  const file = frame(text)
  if (!file.ok) return file
  const digest = await sha256(file.payload)
  if (file.sha256 && digest && digest !== file.sha256) return { ok: false, says: WRONG }
  const { sources, units } = await garage.site()
  const read = records(file, { sources, units })
  if (!read.ok) return read
  const seen = await store.stored()
  const here = /** @type {Records} */ (await plain(seen, true))
  // A picture whose bytes this phone lost is none: the one in the file takes its place.
  const merged = merge({ ...here, photos: here.photos.filter(({ blob }) => blob.data !== null) }, read.records)
  const checked = !file.sha256 ? 'The file carries no digest, so a change of it would not show.'
    : digest ? 'Its digest is right: nothing in it was changed.'
      : 'Its digest could not be checked on this page, which has no https.'
  return { ok: true, ...merged, made: read.made, without: read.without, odd: read.odd, checked, seen }
}

/**
 * Store what a file adds: all of it or nothing, read back before it is called done.
 * @param {Look} looked @returns {Promise<void>} rejects with NotSaved
 */
export async function takeIn({ add, seen }) {
  const photos = add.photos.map((one) => ({ ...one, blob: picture(one.blob) }))
  await store.restore({ ...add, photos }, seen)
}
