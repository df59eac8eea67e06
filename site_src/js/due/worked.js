// Everything worked out from the log itself: what is due and what the log shows.
import * as garage from '../garage.js'
import { day } from '../job/words.js'
import { vehicleOf } from '../lib/sheet.js'

/**
 * A vehicle whose sheet cannot be read is left out; its own page says why.
 * @returns {Promise<{dues: import('../types.js').Due[], findings: import('../types.js').Finding[],
 *   vehicles: (import('../types.js').Vehicle & {own: boolean})[], records: import('../types.js').LogRecord[],
 *   today: string, work: import('../types.js').SiteData['work'], unread: string[]}>}
 */
export async function worked() {
  const [site, sheets, records, { due }, { findings }] = await Promise.all([
    garage.site(), garage.sheets(), garage.records(), import('../lib/due.js'), import('../lib/findings.js')])
  /** @type {string[]} */
  const unread = []
  const vehicles = sheets.flatMap(({ id, sheet, own }) => {
    try {
      return [{ ...vehicleOf(id, sheet, site), own }]
    } catch {
      unread.push(sheet.name)
      return []
    }
  })
  const today = day(Date.now())
  const asked = { today, vehicles, records, site }
  return { dues: due(asked), findings: findings(asked), vehicles, records, today, work: site.work, unread }
}
