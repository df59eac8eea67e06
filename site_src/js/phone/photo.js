// A photo from the phone's camera, made small and bare before anything keeps it: at most 1600 px, JPEG, no Exif.
//
// A phone's picture has 24 million pixels and more, and some phones give a canvas of 16.7 million at most and then
// draw nothing at all. So it is decoded at the size it will have, and looked at before it is called a photo.
import { bare, blank, fit, kind } from '../lib/photo.js'

const BYTES = 60_000_000
const PIXELS = 120_000_000 // decoded it takes four bytes each, more than a phone's browser gets
const QUALITY = 0.85

/** Why there is no photo, in words to show: `says`. Nothing was kept. */
export class NoPhoto extends Error {
  /** @param {string} says */
  constructor(says) {
    super(says)
    this.name = 'NoPhoto'
    this.says = says
  }
}

/** @typedef {{blob: Blob, width: number, height: number, says: string}} Photo width and height in pixels */

/**
 * @param {File} file what a file input gave
 * @returns {Promise<Photo>} upright, as the camera was held
 * @throws {NoPhoto} for what is no picture, too large, damaged or blank
 */
export async function take(file) {
  const what = await refuse(file)
  const address = URL.createObjectURL(file)
  try {
    const image = await opened(file, what, address)
    const size = fit(image.naturalWidth, image.naturalHeight)
    // A blank picture may be this phone's way to say that it had no room: the other way of decoding is tried.
    const canvas = (await drawn(await scaled(file, what, image, size), size)) ?? (await drawn(image, size))
    if (!canvas) throw new NoPhoto(`No photo kept: ${file.name} is one colour all over. Take it again with more light.`)
    const blob = await written(canvas)
    const got = `${size.width} × ${size.height} px, ${Math.ceil(blob.size / 1000)} kB`
    return { blob, ...size, says: `Photo ready: ${got}, without place or time.` }
  } finally {
    URL.revokeObjectURL(address)
  }
}

/**
 * Refuse by size and by first bytes, before anything is decoded.
 * @param {File} file
 * @returns {Promise<string>} its kind
 */
async function refuse(file) {
  if (file.size > BYTES) throw large(file, `${Math.round(file.size / 1e6)} MB`, `${BYTES / 1e6} MB`)
  let head
  try {
    head = new Uint8Array(await file.slice(0, 16).arrayBuffer())
  } catch {
    throw new NoPhoto(`No photo kept: the phone did not hand over ${file.name}. Take it again.`)
  }
  if (!head.length) throw new NoPhoto(`No photo kept: ${file.name} is empty or gone. Take it again.`)
  const what = kind(head)
  if (!what) throw new NoPhoto(`No photo kept: ${file.name} is not a photo. Choose a JPEG, PNG or WebP picture.`)
  return what
}

/**
 * Read the head of a picture only; the pixels come later, at the size wanted.
 * @param {File} file
 * @param {string} what its kind
 * @param {string} address a blob address of it
 * @returns {Promise<HTMLImageElement>} with its upright size
 */
async function opened(file, what, address) {
  const image = new Image()
  await new Promise((loaded, failed) => {
    image.onload = loaded
    image.onerror = () => failed(unreadable(file, what))
    image.src = address
  })
  const { naturalWidth: width, naturalHeight: height } = image
  if (!width || !height) throw unreadable(file, what)
  if (width * height > PIXELS) throw large(file, `${width} × ${height} px`, `${PIXELS / 1e6} million px`)
  return image
}

/**
 * @param {File} file
 * @param {string} got
 * @param {string} most
 */
function large(file, got, most) {
  return new NoPhoto(`No photo kept: ${file.name} has ${got}; up to ${most} is taken. Use a normal photo.`)
}

/**
 * @param {File} file
 * @param {string} what its kind
 */
function unreadable(file, what) {
  const why = what === 'heic' || what === 'avif'
    ? 'is of a kind that this browser cannot open. Set the camera to JPEG and take it again.'
    : 'is damaged or not whole. Take it again.'
  return new NoPhoto(`No photo kept: ${file.name} ${why}`)
}

/**
 * @param {File} file
 * @param {string} what its kind
 * @param {HTMLImageElement} image the same picture, the way out where a browser cannot decode to a size
 * @param {{width: number, height: number}} size
 * @returns {Promise<ImageBitmap | HTMLImageElement>}
 */
async function scaled(file, what, image, size) {
  if (typeof createImageBitmap !== 'function') return image
  // One side only: a browser that turns the picture after it scaled it still keeps its shape.
  const side = size.width < size.height ? { resizeHeight: size.height } : { resizeWidth: size.width }
  try {
    return await createImageBitmap(file, { ...side, resizeQuality: 'high', imageOrientation: 'from-image' })
  } catch (error) {
    if (error instanceof DOMException && error.name === 'InvalidStateError') throw unreadable(file, what)
    return image // an older browser that does not know these wishes
  }
}

/**
 * @param {ImageBitmap | HTMLImageElement} picture let go of when drawn
 * @param {{width: number, height: number}} size
 * @returns {Promise<HTMLCanvasElement | null>} null where nothing can be seen on it
 */
async function drawn(picture, size) {
  const canvas = Object.assign(document.createElement('canvas'), size)
  const pen = canvas.getContext('2d', { willReadFrequently: true })
  if (!pen) throw new NoPhoto('No photo kept: the phone has no room to work on it. Close other tabs and try again.')
  pen.fillStyle = '#fff' // under what is clear in a PNG; JPEG would make it black
  pen.fillRect(0, 0, size.width, size.height)
  pen.imageSmoothingQuality = 'high'
  pen.drawImage(picture, 0, 0, size.width, size.height)
  if (picture instanceof ImageBitmap) picture.close()
  return blank(pen.getImageData(0, 0, size.width, size.height).data) ? null : canvas
}

/**
 * @param {HTMLCanvasElement} canvas
 * @returns {Promise<Blob>} a JPEG with nothing in it but the picture
 */
async function written(canvas) {
  const made = await new Promise((done) => canvas.toBlob(done, 'image/jpeg', QUALITY))
  canvas.width = canvas.height = 0 // some phones keep the memory of a canvas until they are told
  const bytes = made instanceof Blob ? bare(new Uint8Array(await made.arrayBuffer())) : null
  if (!bytes) throw new NoPhoto('No photo kept: this browser did not write a JPEG. Try again, or note it in words.')
  return new Blob([bytes], { type: 'image/jpeg' })
}
