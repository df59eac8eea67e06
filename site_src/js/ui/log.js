// The service log of this phone. Nothing is kept on the phone yet, so the page's own words stand.

export function start() {}
