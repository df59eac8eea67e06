// Says which version this page came from: the first eight characters of what the build gave it.

/** @param {Element} element */
export function start(element) {
  const { port1, port2 } = new MessageChannel()
  port1.onmessage = ({ data }) => (element.textContent = String(data).slice(0, 8))
  navigator.serviceWorker?.controller?.postMessage({ type: 'version' }, [port2])
}
