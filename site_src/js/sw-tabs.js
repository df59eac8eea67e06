// The second part of the service worker, joined to sw.js by the build: which versions are kept, which tab has
// which, and which vehicles this phone keeps where they are many.

/** @returns {Promise<string[]>} names of this site's caches, oldest first */
async function ours() {
  return (await caches.keys()).filter((name) => name.startsWith(PREFIX));
}

/**
 * What stands in a cache at ACTIVATED: how many versions have been in charge up to this one, and the tabs that were
 * open when it took over, each with the version that its page came from. A worker, stopped between events, forgets.
 * @typedef {{ turn: number, tabs: Record<string, string> }} Charge tabs by client id
 */

/** @param {string} name of a cache @returns {Promise<Charge | null>} null where its version was never in charge */
async function charge(name) {
  const kept = await caches.match(ACTIVATED, { cacheName: name });
  return kept ? kept.json().catch(() => ({ turn: 0, tabs: {} })) : null; // older workers wrote nothing into it
}

/** @type {Promise<Charge> | null} of this version, read once for as long as the worker runs */
let own = null;
const mine = () => (own ??= charge(CACHE).then((found) => found ?? { turn: 0, tabs: {} }));

/** @param {string} id of a client @returns {Promise<string>} the version that its page came from */
const versionOf = async (id) => (await mine()).tabs[id] ?? VERSION;

/** @param {ExtendableMessageEvent['source']} page @param {MessagePort} port gets the version that the page came from */
const tellVersion = async (page, port) => port.postMessage(await versionOf(page && 'id' in page ? page.id : ''));

/** @param {string} id a tab that this version's page is being opened in */
async function note(id) {
  const all = await mine();
  all.tabs[id] = VERSION;
  await (await caches.open(CACHE)).put(ACTIVATED, new Response(JSON.stringify(all)));
}

/** Keep this version, the one in charge before it and those of tabs still open; delete the other own caches. */
async function tidy() {
  const others = (await ours()).filter((name) => name !== CACHE);
  let turn = -1;
  let before = '';
  /** @type {Charge['tabs']} */
  let known = {};
  for (const name of others) {
    const led = await charge(name);
    if (led && led.turn >= turn) [turn, before, known] = [led.turn, name.slice(PREFIX.length), led.tabs];
  }
  /** @type {Charge['tabs']} */
  const tabs = Object.fromEntries(Object.entries(known).filter(([, version]) => version === before)); // being opened
  for (const { id } of await worker.clients.matchAll({ type: 'window' })) if (before) tabs[id] = known[id] ?? before;
  own = Promise.resolve({ turn: turn + 1, tabs });
  await (await caches.open(CACHE)).put(ACTIVATED, new Response(JSON.stringify(await own)));
  if (worker.registration.installing || worker.registration.waiting) return; // its cache is not an orphan
  const needed = new Set([before, ...Object.values(tabs)].map((version) => PREFIX + version));
  await Promise.all(others.filter((name) => !needed.has(name)).map((name) => caches.delete(name)));
}

/** @returns {Promise<typeof FILES>} what this phone keeps: js/phone/choice.js writes down which vehicles */
async function wanted() {
  const kept = await caches.match(ROOT + '?chosen', { cacheName: `chosen ${PREFIX.trim()}` });
  /** @type {Set<string>} */
  const chosen = new Set(kept && (await kept.json()));
  const own = FILES.slice(COMMON).filter(([path]) => chosen.has(path.replace(/^(data\/)?vehicles\/|\/$|\.json$/g, '')));
  return [...FILES.slice(0, COMMON), ...own];
}
