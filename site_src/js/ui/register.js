// The first visit: asks the browser to take the service worker. Every later visit finds it there and does without this.

/** @param {string} url of the worker @returns {Promise<ServiceWorkerRegistration>} */
export const register = (url) => navigator.serviceWorker.register(trusted(url), { updateViaCache: 'none' });

/**
 * Scripts may be loaded from one address only, and this is it; browsers without Trusted Types take the text.
 * @param {string} url
 * @returns {string}
 */
function trusted(url) {
  /** @type {{ createPolicy(name: string, rules: object): { createScriptURL(url: string): string } } | undefined} */
  const types = /** @type {any} */ (globalThis).trustedTypes;
  if (!types) return url;
  const createScriptURL = (/** @type {string} */ asked) => {
    if (asked !== url) throw new TypeError(`not the worker of this site: ${asked}`);
    return asked;
  };
  return types.createPolicy('fillmark-worker', { createScriptURL }).createScriptURL(url);
}
