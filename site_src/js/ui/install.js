/**
 * Offers to keep the site on the home screen: a button where the browser offers one, else the steps in words
 * that already stand in the element. Where the site already runs as an app it is hidden, or asks for a backup.
 * @module
 */

/** @param {HTMLElement} element holds `[data-install-button]` (hidden) and `[data-install-steps]` */
export function start(element) {
  const steps = element.querySelector('[data-install-steps]');
  const button = element.querySelector('[data-install-button]');
  const standalone = matchMedia('(display-mode: standalone)').matches || 'standalone' in navigator && navigator.standalone;
  if (standalone) {
    element.hidden = true;
    restore(element).catch(() => {}); // a store that does not answer is told by the rest of the page
  }
  if (standalone || !(button instanceof HTMLButtonElement) || !(steps instanceof HTMLElement)) return;

  /** @type {(Event & { prompt(): Promise<void> }) | null} */
  let offer = null;
  addEventListener('beforeinstallprompt', (event) => {
    event.preventDefault(); // the browser's own bar would cover the card; the button asks when the owner wants it
    offer = /** @type {Event & { prompt(): Promise<void> }} */ (event);
    button.hidden = false;
    steps.hidden = true;
  });
  button.addEventListener('click', async () => {
    await offer?.prompt();
    offer = null; // one offer can be used once
    button.hidden = true;
    steps.hidden = false;
  });
  addEventListener('appinstalled', () => (element.hidden = true));
}

/**
 * An app on the home screen may have a storage of its own, empty beside the browser's: the backup comes first then.
 * @param {HTMLElement} element
 */
async function restore(element) {
  const [{ fill, h }, store] = await Promise.all([import('../job/dom.js'), import('../store.js')]);
  const [{ rev }, jobs] = await Promise.all([store.marks(), store.jobs()]);
  if (rev || jobs.length) return;
  const base = document.documentElement.dataset.base ?? './';
  fill(element, h('h2', { id: 'keep-it' }, 'Nothing is kept here yet'),
    h('p', {}, 'Was something logged in the browser before? Give out a backup there, and take it in here.'),
    h('a', { class: 'btn', href: `${base}backup/` }, 'Take in a backup'));
  document.querySelector('h1')?.after(element);
  element.hidden = false;
}
