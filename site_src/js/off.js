// What stands at sw.js while the site is switched off (`python3 build --switched-off`): it takes over at once, takes
// this site's saved files off the phone, and then itself. It loads no page anew, and what was written down stays.

const leaving = /** @type {ServiceWorkerGlobalScope} */ (/** @type {unknown} */ (self));

leaving.addEventListener('install', (event) => event.waitUntil(leaving.skipWaiting()));
leaving.addEventListener('activate', (event) => event.waitUntil(off()));

async function off() {
  const { scope } = leaving.registration;
  const prefix = `fillmark ${new URL(scope).pathname} `; // as in sw.js: other sites share the caches
  const ours = (await caches.keys()).filter((name) => name.startsWith(prefix));
  await Promise.all(ours.map((name) => caches.delete(name)));
  const pages = await leaving.clients.matchAll({ includeUncontrolled: true, type: 'window' });
  await leaving.registration.unregister();
  for (const page of pages) {
    // As sw.js says that a file did not come: the pages that are open know no other words.
    if (page.url.startsWith(scope)) page.postMessage({ type: 'failed', why: 'the site has switched that off' });
  }
}
