/** Fields of the record that the page itself writes down, so that they are not asked again. */
export const OWN = new Set(['date', 'odometer', 'follow-ups', 'photos', 'joint', 'torque-used', 'torque-drain', 'torque-fill', 'thread-state'])
