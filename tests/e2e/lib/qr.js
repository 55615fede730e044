// Reads a QR picture off the glass: its pixels as they are shown, by a reader that the screens do not know.
import jsqr from 'jsqr';

/** The text of the QR picture that this element shows. */
export async function readQr(element) {
  const png = (await element.screenshot()).toString('base64');
  const beside = await element.page().context().newPage();
  try {
    const { width, height, pixels } = await beside.evaluate(pixelsOf, png);
    return jsqr(Uint8ClampedArray.from(Buffer.from(pixels, 'base64')), width, height)?.data;
  } finally {
    await beside.close();
  }
}

/** In the page: the colours of a picture, four bytes a pixel, as base64. */
async function pixelsOf(png) {
  const picture = await createImageBitmap(new Blob([Uint8Array.from(atob(png), (c) => c.charCodeAt(0))], { type: 'image/png' }));
  const canvas = new OffscreenCanvas(picture.width, picture.height);
  const paint = canvas.getContext('2d');
  paint.drawImage(picture, 0, 0);
  const { data } = paint.getImageData(0, 0, picture.width, picture.height);
  let text = '';
  for (const byte of data) text += String.fromCharCode(byte);
  return { width: picture.width, height: picture.height, pixels: btoa(text) };
}
