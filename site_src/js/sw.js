// The service worker: keeps every file of the site for no signal, and keeps no file it has not verified.
//
// A first install stores the core (stylesheet, scripts, the main pages) and fails whole if one file of it is bad;
// the page then asks for the rest with {type: 'fill'}. An update stores everything or nothing, while the old
// version goes on serving. There is no skipWaiting on install and no claim: an open job is never moved to another
// version under the hands that do it. A person may take the new version at a tap in one tab, {type: 'skip'}; every
// other tab gets the files of the version that its page came from, for as long as it is open.
//
// A file counts as good only with status 200, no redirect, and bytes of the length and SHA-256 that the build
// wrote into FILES. So a sign-in page, an error page sent as 200, or half a deploy is never kept.
//
// What is verified is kept packed, where the browser can: text takes a third of the room, and phones are full. The core
// is kept as it is, since every page waits for it.

const worker = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

// The build puts its own values into the next four lines.
/** @type {[path: string, digest: string, size: number][]} path relative to the site's root, SHA-256 in base64, bytes */
const FILES = [];
const CORE = 0; // the first so many of FILES are the core
const COMMON = 0; // the first so many are for everybody; the rest are of vehicles, and each phone keeps those chosen on it
const VERSION = '';

const ROOT = worker.registration.scope;
const PREFIX = `fillmark ${new URL(ROOT).pathname} `; // other sites below the same host name share its caches
const CACHE = PREFIX + VERSION;
const PATHS = new Set(FILES.map(([path]) => path));
const PLAIN = new Set(FILES.slice(0, CORE).map(([path]) => path));
const AT_ONCE = 6;
const PAUSES = [500, 2000]; // milliseconds before the second and the third try of one file
const PACKED = 'fillmark-packed'; // stands in the headers of a file that is kept packed
const PACKS = typeof CompressionStream === 'function' && typeof DecompressionStream === 'function';
const ACTIVATED = ROOT + '?activated'; // in the cache of a version that has been in charge; never a page's address

/** @type {Record<string, string>} */
const TYPES = {
  html: 'text/html; charset=utf-8',
  js: 'text/javascript; charset=utf-8',
  css: 'text/css; charset=utf-8',
  svg: 'image/svg+xml',
  png: 'image/png',
  json: 'application/json',
  webmanifest: 'application/manifest+json',
};

worker.addEventListener('install', (event) => event.waitUntil(install()));
worker.addEventListener('activate', (event) => event.waitUntil(tidy()));
worker.addEventListener('fetch', (event) => {
  const path = pathOf(event.request.url);
  if (event.request.method !== 'GET' || path === null) return;
  const opens = event.request.mode === 'navigate';
  event.respondWith(answer(event.request, path, opens ? VERSION : versionOf(event.clientId)));
  // A page still being opened when the next version takes over is in no list of tabs yet.
  if (opens && worker.registration.waiting) event.waitUntil(note(event.resultingClientId));
});
worker.addEventListener('message', (event) => {
  const type = event.data && event.data.type;
  const [port] = event.ports;
  if (type === 'skip') event.waitUntil(worker.skipWaiting());
  if (type === 'version' && port) event.waitUntil(tellVersion(event.source, port));
  if (type === 'verify' && port) event.waitUntil(verify(port));
  if (type === 'status') event.waitUntil(told());
  if (type === 'fill') event.waitUntil((filling ??= fill().finally(() => (filling = null))));
});

// ---- storing

/** Fetch all first, write after: a bad file is met before there is a cache to clean up. */
async function install() {
  const update = worker.registration.active !== null;
  const all = await wanted();
  const now = update ? all : all.slice(0, CORE);
  const existed = await caches.has(CACHE); // the same version again, after a step back: not ours to delete
  const stop = new AbortController();
  let done = 0;
  try {
    /** @type {Map<string, ArrayBuffer>} */
    const good = new Map();
    await pool(now, async (file) => {
      good.set(file[0], await verified(file, stop.signal));
      if (stop.signal.aborted) return; // nothing may be told after "failed"
      await tell({ type: 'progress', update, saved: ++done, total: all.length });
    });
    const cache = await caches.open(CACHE);
    for (const [path, bytes] of good) await keep(cache, path, bytes);
  } catch (error) {
    stop.abort();
    if (!existed) await caches.delete(CACHE);
    await tell({ type: 'failed', update, why: words(error) });
    throw error;
  }
}

/** @type {Promise<void> | null} one fill at a time, however many tabs ask */
let filling = null;

/** Store what is missing of this version, file by file; a file that fails is left for the next time. */
async function fill() {
  let { saved, total, held } = await status();
  let why = '';
  const cache = await caches.open(CACHE);
  const all = await wanted();
  const names = new Set(all.map(([path]) => path));
  for (const [path] of FILES.slice(COMMON)) if (held.has(ROOT + path) && !names.has(path)) await cache.delete(ROOT + path);
  if (saved < total) {
    await pool(all, async (file) => {
      if (await cache.match(ROOT + file[0], { ignoreVary: true })) return;
      try {
        await keep(cache, file[0], await verified(file));
        await tell({ type: 'progress', update: false, saved: ++saved, total });
      } catch (error) {
        why = words(error);
      }
    });
  }
  await told(why);
}

/**
 * Return the file's bytes, from an older version's cache if they are the same, else from the host.
 * @param {[string, string, number]} file
 * @param {AbortSignal} [signal]
 * @returns {Promise<ArrayBuffer>} rejects if no try brought the right bytes
 */
async function verified(file, signal) {
  const [path, digest, size] = file;
  for (const name of await ours()) {
    const bytes = await whole(name, file);
    if (bytes) return bytes;
  }
  for (let attempt = 0; ; attempt++) {
    try {
      const response = await fetch(ROOT + path, { cache: 'no-cache', redirect: 'error', signal });
      if (response.status !== 200) throw new Error(`answered ${response.status}`);
      const bytes = await response.arrayBuffer();
      if (bytes.byteLength !== size || (await sha256(bytes)) !== digest) throw new Error('other bytes than built');
      return bytes;
    } catch (error) {
      const pause = PAUSES[attempt];
      // A TypeError is a broken connection, worth another try; a wrong answer would only come again.
      if (pause === undefined || signal?.aborted || !(error instanceof TypeError)) throw error;
      await new Promise((resolve) => setTimeout(resolve, pause));
    }
  }
}

/**
 * @param {string} name of a cache @param {[string, string, number]} file
 * @returns {Promise<ArrayBuffer | null>} null where it is not kept there, spoilt or another
 */
async function whole(name, [path, digest, size]) {
  const kept = await caches.match(ROOT + path, { cacheName: name, ignoreVary: true });
  const bytes = kept && (await unpacked(kept).arrayBuffer().catch(() => null)); // rejects where the packing is spoilt
  return bytes && bytes.byteLength === size && (await sha256(bytes)) === digest ? bytes : null;
}

/**
 * Read every file of this version again and hold it to its digest; fetch anew what is missing or spoilt. A page asks
 * with {type: 'verify'} and a MessagePort, on which come:
 * - every 20 files `{ checked: number, total: number }`, checked below total;
 * - at the end, once, `{ done: true, checked: number, total: number, bad: string[], mended: string[] }`: `bad` are the
 *   paths that are still not right, `mended` those that were fetched anew and are; below the root, '' the start page.
 * @param {MessagePort} port
 */
async function verify(port) {
  const cache = await caches.open(CACHE);
  const silent = new AbortController(); // no signal: told at once, not after three tries of every file
  /** @type {Record<'bad' | 'mended', string[]>} */
  const found = { bad: [], mended: [] };
  const all = await wanted();
  const total = all.length;
  let checked = 0;
  await pool(all, async (file) => {
    const [path] = file;
    if (!(await whole(CACHE, file))) {
      await cache.delete(ROOT + path); // else it would go on being answered
      const mended = verified(file, silent.signal).then((good) => keep(cache, path, good));
      const why = await mended.then(() => null, (error) => error);
      if (why instanceof TypeError) silent.abort();
      found[why ? 'bad' : 'mended'].push(path);
    }
    if (++checked % 20 === 0 && checked < total) port.postMessage({ checked, total });
  });
  port.postMessage({ done: true, checked, total, bad: found.bad.sort(), mended: found.mended.sort() });
}

/** @param {Cache} cache @param {string} path @param {ArrayBuffer} bytes kept packed where that saves room */
async function keep(cache, path, bytes) {
  const ending = path === '' || path.endsWith('/') ? 'html' : path.slice(path.lastIndexOf('.') + 1);
  const type = TYPES[ending] ?? 'application/octet-stream';
  if (!PACKS || PLAIN.has(path) || ending === 'png') return cache.put(ROOT + path, new Response(bytes, { headers: { 'content-type': type } }));
  const small = new Blob([bytes]).stream().pipeThrough(new CompressionStream('gzip'));
  const body = await new Response(small).arrayBuffer();
  await cache.put(ROOT + path, new Response(body, { headers: { 'content-type': type, [PACKED]: 'gzip' } }));
}

/** @param {Response} kept @returns {Response} as the host sent it */
function unpacked(kept) {
  if (!kept.headers.has(PACKED) || !kept.body) return kept;
  const body = kept.body.pipeThrough(new DecompressionStream('gzip'));
  return new Response(body, { headers: { 'content-type': kept.headers.get('content-type') ?? '' } });
}

/** @param {ArrayBuffer} bytes @returns {Promise<string>} base64 */
async function sha256(bytes) {
  return btoa(String.fromCharCode(...new Uint8Array(await crypto.subtle.digest('SHA-256', bytes))));
}

/**
 * Do the work for every item, AT_ONCE at a time; reject at the first that rejects.
 * @template T
 * @param {T[]} items
 * @param {(item: T) => Promise<void>} work
 */
async function pool(items, work) {
  const queue = items.values();
  await Promise.all(
    Array.from({ length: AT_ONCE }, async () => {
      for (const item of queue) await work(item);
    }),
  );
}

// ---- answering

/** @param {string} url @returns {string | null} path below the root without query and hash; null: not ours */
function pathOf(url) {
  const { origin, pathname } = new URL(url);
  const clean = origin + pathname;
  if (!clean.startsWith(ROOT)) return null;
  const path = clean.slice(ROOT.length);
  return path === 'index.html' || path.endsWith('/index.html') ? path.slice(0, -'index.html'.length) : path;
}

/** @param {string} path @param {string} [version] its files only, so that versions never mix */
async function stored(path, version = VERSION) {
  const kept = await caches.match(ROOT + path, { cacheName: PREFIX + version, ignoreVary: true });
  return kept && unpacked(kept);
}

/** @param {Request} request @param {string} path @param {string | Promise<string>} from a version */
async function answer(request, path, from) {
  const version = await from;
  const here = version !== VERSION || PATHS.has(path) ? await stored(path, version) : undefined;
  if (here) return here;
  // The pages' links are relative, so a page must be opened at its own address, with the slash.
  if (PATHS.has(path + '/')) return Response.redirect(ROOT + path + '/' + new URL(request.url).search, 302);
  const page = request.mode === 'navigate';
  try {
    // Not stored yet, newer than this version, or another site's below ours: the network has it or nobody has.
    const response = await fetch(request);
    return page && response.status === 404 ? await lost() : response;
  } catch {
    if (!PATHS.has(path) && page) return lost();
    const text = 'This page is not saved on this phone yet, and there is no signal.';
    return new Response(text, { status: 504, headers: { 'content-type': 'text/plain; charset=utf-8' } });
  }
}

/** The "no such page" page, with its relative links made whole: it can stand at any depth. */
async function lost() {
  const page = await stored('404.html');
  const text = page ? await page.text() : 'No such page.';
  const whole = text.replace(
    /\b(href|src|data-base)="([^"#:]*)"/g,
    (_, name, link) => `${name}="${new URL(link, ROOT).href}"`,
  );
  return new Response(whole, { status: 404, headers: { 'content-type': TYPES['html'] ?? '' } });
}

// ---- telling the pages

/** How much of what this phone keeps of this version is stored, counted in the cache, not remembered. */
async function status() {
  const keys = (await caches.has(CACHE)) ? await (await caches.open(CACHE)).keys() : [];
  const held = new Set(keys.map((request) => request.url));
  const all = await wanted();
  return { saved: all.filter(([path]) => held.has(ROOT + path)).length, total: all.length, held };
}

/** @param {string} [why] something could not be stored */
async function told(why) {
  const { saved, total } = await status();
  await tell({ type: 'status', saved, total, version: VERSION, ready: saved === total, why });
}

/** Tell every open page of this site, also those that this worker does not control yet. @param {object} message */
async function tell(message) {
  for (const client of await worker.clients.matchAll({ includeUncontrolled: true, type: 'window' })) {
    if (client.url.startsWith(ROOT)) client.postMessage(message);
  }
}

/** @param {unknown} error @returns {string} for a sentence on the page */
function words(error) {
  if (error instanceof DOMException && error.name === 'QuotaExceededError') return 'no room on this phone';
  return error instanceof TypeError ? 'the connection broke or led elsewhere' : 'the host sent other files than were built';
}
