/**
 * Offers to keep the site on the home screen: a button where the browser offers one, else the steps in words
 * that already stand in the element. Hidden where the site already runs as an app.
 * @module
 */

/** @param {HTMLElement} element holds `[data-install-button]` (hidden) and `[data-install-steps]` */
export function start(element) {
  const steps = element.querySelector('[data-install-steps]');
  const button = element.querySelector('[data-install-button]');
  const standalone = matchMedia('(display-mode: standalone)').matches || 'standalone' in navigator && navigator.standalone;
  if (standalone) element.hidden = true;
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
