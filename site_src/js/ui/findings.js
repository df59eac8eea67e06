// What the log shows to one who reads all of it: each finding with its evidence, its entries and what would settle it.
import { finding } from '../due/finding.js'
import { unreadLine } from '../due/row.js'
import { worked } from '../due/worked.js'
import { fill, h } from '../job/dom.js'
import { many } from '../lib/duewords.js'

/** @param {HTMLElement} element */
export async function start(element) {
  const base = document.documentElement.dataset.base ?? './'
  try {
    const { findings, vehicles, records, unread } = await worked()
    const named = new Map(vehicles.map((one) => [one.id, one]))
    fill(element,
      h('p', {}, records.length ? `${many(records.length, 'entry').replace('entrys', 'entries')} read, ${many(findings.length, 'finding')}. What was never written down cannot be found here.`
        : 'Nothing is logged yet, so nothing can be found. That does not mean that all is well.'),
      unreadLine(unread),
      findings.map((one) => {
        const vehicle = named.get(one.vehicle)
        return vehicle && finding(one, vehicle, base)
      }))
  } catch (error) {
    fill(element, h('p', { role: 'alert' }, `The log could not be read: ${error instanceof Error ? error.message : String(error)}`))
  }
}
