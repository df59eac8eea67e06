// Where one's own vehicles are found, and what day it is.
import { day } from '../job/words.js'

export const today = () => day(Date.now())
export const base = document.documentElement.dataset.base ?? './'

/** @param {string} id @returns {string} the address of an own vehicle */
export const addressOf = (id) => `${base}garage/vehicle/?id=${encodeURIComponent(id)}`

/** @param {string} from the base @param {string} no @param {string} vehicle @param {string} unit @returns {string} the address of a card filled for a unit */
export const cardAddress = (from, no, vehicle, unit) => `${from}cards/${no.toLowerCase()}/?for=${vehicle}/${unit}`
