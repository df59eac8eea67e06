/**
 * The line in the header that says whether this site opens without signal. It says "ready" only when the worker
 * has counted every file in its cache.
 * @module
 */

const WORKER = new URL('../../sw.js', import.meta.url).href;
const HOUR = 3_600_000; // milliseconds

/**
 * What is known so far. `text` of each part is empty when there is nothing to say.
 * @type {{ store: string, update: string }}
 */
const said = { store: '', update: '' };

/** Where something was typed since the page came. @type {Set<EventTarget | null>} */
const typed = new Set();

/** @param {HTMLElement} element */
export async function start(element) {
  const show = () => (element.textContent = [said.store, said.update].filter(Boolean).join('. '));
  const say = (/** @type {Partial<typeof said>} */ part) => (Object.assign(said, part), show());
  if (!navigator.serviceWorker) {
    say({ store: `Not saved for no signal${isSecureContext ? ': this browser cannot' : ', screen not kept on, no sharing: all that needs https'}` });
    return;
  }
  document.addEventListener('input', ({ target }) => typed.add(target));
  navigator.serviceWorker.addEventListener('message', (event) => say(heard(event.data)));
  navigator.serviceWorker.addEventListener('controllerchange', () => say(changed));
  navigator.serviceWorker.startMessages();
  try {
    // Asking first, since a call to register waits while an update is being stored.
    const known = await navigator.serviceWorker.getRegistration(WORKER);
    const ours = known?.scope === new URL('./', WORKER).href;
    follow(ours ? known : await (await import('./register.js')).register(WORKER), element, say);
  } catch {
    say(notSaved('the site could not be reached'));
  }
}

/**
 * Watch one registration: its installing worker now, every later one, and how much is stored.
 * @param {ServiceWorkerRegistration} registration
 * @param {Element} line in the header
 * @param {(part: Partial<typeof said>) => void} say
 */
function follow(registration, line, say) {
  const ask = () => registration.active?.postMessage({ type: 'fill' });
  // Only a worker of ours answers: a host's empty script must never be offered, nor its tabs closed for it.
  const hail = (/** @type {ServiceWorker} */ next) => {
    const { port1, port2 } = new MessageChannel();
    const offer = () => import('./update.js').then((update) => update.offer(registration, line, say, typed));
    port1.onmessage = () => offer().catch(() => say(waiting));
    next.postMessage({ type: 'version' }, [port2]);
  };
  const watch = () => {
    const next = registration.installing;
    if (!next) return;
    let stored = false;
    next.addEventListener('statechange', () => {
      stored ||= next.state === 'installed';
      if (next.state === 'activated') ask();
      if (registration.active && registration.waiting) hail(registration.waiting);
      else if (next.state === 'redundant' && !stored) say(registration.active ? kept : lost());
    });
  };
  const look = () => {
    ask();
    registration.update().catch(() => {}); // no signal, or no worker file at the host: the old one works on
  };
  registration.addEventListener('updatefound', watch);
  watch();
  if (registration.active && registration.waiting) hail(registration.waiting);
  look();
  addEventListener('online', look);
  document.addEventListener('visibilitychange', () => document.hidden || look());
  setInterval(look, HOUR); // an installed app may stay open for days
}

const waiting = { update: 'New version ready: close all Fillmark tabs to use it' };
const changed = { update: 'A new version is in use: reload this page when you like' };
const kept = { update: 'New version could not be stored; the old one still works' };

/** @param {string} why @returns {Partial<typeof said>} */
function notSaved(why) {
  return { store: `Not saved for no signal: ${why}. Open it again with signal` };
}

/** The worker says why it could not store the site; this stands in for it where that message came too early. */
function lost() {
  return said.store.startsWith('Not saved') ? {} : notSaved('some files did not arrive');
}

/**
 * Turn a message of the worker into words.
 * @param {{ type: string, saved: number, total: number, ready?: boolean, update?: boolean, why?: string }} message
 * @returns {Partial<typeof said>}
 */
function heard(message) {
  const count = `${message.saved} of ${message.total}`;
  if (message.type === 'failed') return message.update ? kept : notSaved(message.why ?? 'some files did not arrive');
  if (message.type === 'progress' && message.update) return { update: `Storing the new version: ${count}` };
  if (message.ready) return { store: 'Ready for no signal' };
  if (message.type === 'status' && message.why) return notSaved(`${count} files, ${message.why}`);
  return { store: `Saving: ${count}` };
}
