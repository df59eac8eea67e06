// A vehicle of one's own, with its units, in one go: what every vehicle has is typed, the rest is ticked.
import { form } from './form.js'
import { firstTyres, putVehicle, vehicleFields } from './forms.js'
import { idOf, prefixOf, shortOf } from './change.js'
import { keep, tail } from './keep.js'
import { TEMPLATES, WHOLE, withUnits } from './templates.js'
import { addressOf, today } from './where.js'
import * as garage from '../garage.js'
import * as store from '../store.js'

/** @typedef {import('../types.js').Sheet} Sheet */

/** @param {() => void} cancel @returns {HTMLFormElement} */
export const addForm = (cancel) => form({
  title: 'Add a vehicle', save: 'Save the vehicle', cancel,
  fields: [
    ...vehicleFields({}),
    { id: 'tyre', label: 'Tyre size, as on the sidewall', kind: 'text', must: true, hint: 'Such as 235/75R15. If the odometer was geared for another size, add the change afterwards.' },
    ...TEMPLATES.map((one, index) => /** @type {import('./form.js').Field} */ ({ id: `unit ${index}`, label: one.name, kind: 'tick' })),
  ],
  async done(values) {
    const short = values.short || shortOf(values.name ?? '')
    const all = await garage.sheets()
    const prefix = prefixOf(short, all.flatMap(({ sheet }) => Object.values(sheet.units).map(({ code }) => code)))
    const head = /** @type {Sheet} */ ({ rev: 1, name: '', short, invented: false })
    putVehicle(head, values, short)
    const sheet = {
      ...head,
      tyre_eras: [firstTyres(`0 ${values.unit}`, values.tyre ?? '')],
      changed: [{ rev: 1, date: today(), why: 'Added on the phone.' }],
      units: withUnits({}, [...TEMPLATES.filter((_, index) => values[`unit ${index}`]), WHOLE], prefix),
    }
    void store.persist() // in the tap: asks the browser never to clear what is kept here
    const id = idOf(short, tail())
    const says = await keep(id, sheet)
    if (!says) location.assign(addressOf(id))
    return says
  },
})
