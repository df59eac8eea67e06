// A job at work. Nothing can be started yet, so the page's own words stand.

export function start() {}
