import { crc32 } from '../../project/crc32.js';

/** Length of the signature and of the header, which comes first. */
const HEAD = 8 + 25;
const METRES_AN_INCH = 0.0254;

/**
 * A PNG picture with its resolution in dots an inch written in, so that it is printed as large as the paper it shows. Source: chunk
 * pHYs, PNG Specification (Third Edition, W3C), 11.3.4.3: dots a metre across and down, and that the unit is the metre.
 */
export function withResolution(png: Uint8Array<ArrayBuffer>, dots: number): Uint8Array<ArrayBuffer> {
  const chunk = new Uint8Array(21);
  const view = new DataView(chunk.buffer);
  view.setUint32(0, 9);
  chunk.set([0x70, 0x48, 0x59, 0x73], 4);
  view.setUint32(8, Math.round(dots / METRES_AN_INCH));
  view.setUint32(12, Math.round(dots / METRES_AN_INCH));
  chunk[16] = 1;
  view.setUint32(17, crc32(chunk.subarray(4, 17)));
  const made = new Uint8Array(png.length + chunk.length);
  made.set(png.subarray(0, HEAD));
  made.set(chunk, HEAD);
  made.set(png.subarray(HEAD), HEAD + chunk.length);
  return made;
}
