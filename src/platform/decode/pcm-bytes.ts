import { viewOf } from './source.js';

/** How samples stand in a file: whole numbers (two's complement, or from 0 up), floating point, or G.711. */
export interface PcmLayout {
  readonly coding: 'signed' | 'unsigned' | 'float' | 'alaw' | 'ulaw';
  /** Bytes of one sample of one channel. */
  readonly bytes: number;
  readonly littleEndian: boolean;
  readonly channels: number;
}

/** Whether such samples can be read: 1 to 4 bytes whole, 4 or 8 floating, 1 in G.711; 1 to 64 channels. */
export function isReadable(layout: PcmLayout): boolean {
  const { coding, bytes, channels } = layout;
  const sizes = { signed: [1, 2, 3, 4], unsigned: [1, 2, 3, 4], float: [4, 8], alaw: [1], ulaw: [1] }[coding];
  return sizes.includes(bytes) && channels >= 1 && channels <= 64;
}

/**
 * Interleaved samples as one array a channel, full scale 1. An unfinished last frame is left out. `room`: arrays of an
 * earlier call to write into again, where they are long enough; files may hold gigabytes.
 */
export function deinterleave(data: Uint8Array, layout: PcmLayout, room: readonly Float32Array[] = []): Float32Array[] {
  const { channels } = layout;
  const frames = Math.floor(data.length / (layout.bytes * channels));
  const out = Array.from({ length: channels }, (_, c) =>
    room[c] && room[c].length >= frames ? room[c].subarray(0, frames) : new Float32Array(frames),
  );
  const plain = layout.coding === 'signed' && layout.littleEndian;
  if (plain && layout.bytes === 2) read16(data, out);
  else if (plain && layout.bytes === 3) read24(data, out);
  else {
    const sample = reader(data, layout);
    out.forEach((channel, c) => {
      for (let i = 0, at = c; i < frames; i++, at += channels) channel[i] = sample(at);
    });
  }
  return out;
}

// The two codings that long files have, without a call for each sample.
function read16(data: Uint8Array, out: readonly Float32Array[]): void {
  out.forEach((channel, c) => {
    for (let i = 0, at = 2 * c; i < channel.length; i++, at += 2 * out.length)
      channel[i] = (((data[at + 1]! << 24) | (data[at]! << 16)) >> 16) / 0x8000;
  });
}

function read24(data: Uint8Array, out: readonly Float32Array[]): void {
  out.forEach((channel, c) => {
    for (let i = 0, at = 3 * c; i < channel.length; i++, at += 3 * out.length)
      channel[i] = (((data[at + 2]! << 24) | (data[at + 1]! << 16) | (data[at]! << 8)) >> 8) / 0x800000;
  });
}

/** A function from the number of a sample to its value. */
function reader(data: Uint8Array, layout: PcmLayout): (index: number) => number {
  const { coding, bytes, littleEndian } = layout;
  const view = viewOf(data);
  if (coding === 'alaw' || coding === 'ulaw') {
    const table = coding === 'alaw' ? ALAW : ULAW;
    return (i) => table[data[i]!]!;
  }
  if (coding === 'float')
    return bytes === 4 ? (i) => view.getFloat32(4 * i, littleEndian) : (i) => view.getFloat64(8 * i, littleEndian);
  const offset = coding === 'unsigned' ? -1 : 0;
  switch (bytes) {
    case 1:
      return coding === 'unsigned' ? (i) => (data[i]! - 128) / 128 : (i) => view.getInt8(i) / 128;
    case 2:
      return coding === 'signed'
        ? (i) => view.getInt16(2 * i, littleEndian) / 0x8000
        : (i) => view.getUint16(2 * i, littleEndian) / 0x8000 + offset;
    case 3: {
      const [low, high] = littleEndian ? [0, 2] : [2, 0];
      const flip = coding === 'unsigned' ? 0x80 : 0;
      return (i) =>
        ((((data[3 * i + high]! ^ flip) << 24) | (data[3 * i + 1]! << 16) | (data[3 * i + low]! << 8)) >> 8) / 0x800000;
    }
    default:
      return coding === 'signed'
        ? (i) => view.getInt32(4 * i, littleEndian) / 0x80000000
        : (i) => view.getUint32(4 * i, littleEndian) / 0x80000000 + offset;
  }
}

/** ITU-T G.711: the value of each of the 256 codes, full scale 1. */
const ALAW = Float32Array.from({ length: 256 }, (_, code) => {
  const x = code ^ 0x55;
  const segment = (x >> 4) & 7;
  const step = ((x & 15) << 4) + 8;
  const size = segment === 0 ? step : (step + 0x100) << (segment - 1);
  return (x & 0x80 ? size : -size) / 0x8000;
});
const ULAW = Float32Array.from({ length: 256 }, (_, code) => {
  const x = ~code & 0xff;
  const size = ((((x & 15) << 3) + 0x84) << ((x >> 4) & 7)) - 0x84;
  return (x & 0x80 ? -size : size) / 0x8000;
});
