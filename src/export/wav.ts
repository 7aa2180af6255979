import { strToU8 } from 'fflate';
import type { TrackTags } from './track-tags.js';

/** A named place in a WAV file, in frames from its beginning. */
export interface Cue {
  readonly frame: number;
  readonly label: string;
}

export interface WavFormat {
  readonly sampleRate: number;
  readonly channels: number;
  /** Frames that the file will hold. */
  readonly frames: number;
}

/** Bytes of a 16-bit frame. */
const SAMPLE = 2;
/** What a RIFF size field can say. */
const MOST = 2 ** 32 - 1;

/**
 * What stands before the samples of a 16-bit PCM WAV file with `cues` (Multimedia Programming Interface and Data
 * Specifications 1.0, IBM & Microsoft 1991: chunks "fmt ", "cue ", LIST "adtl" with "labl",
 * LIST "INFO" with "INAM", "IART", "ICMT", "ISFT"); the samples, interleaved and
 * little-endian, follow, and nothing after them. Cues stand before the samples so that a file can be written as it is
 * made. Throws when the file would be larger than WAV can say.
 */
export function wavHeader(
  { sampleRate, channels, frames }: WavFormat,
  cues: readonly Cue[] = [],
  tags?: TrackTags,
): Uint8Array {
  const data = frames * channels * SAMPLE;
  const chunks = [
    format(sampleRate, channels),
    ...(tags ? [information(tags)] : []),
    ...(cues.length > 0 ? [cuePoints(cues), labels(cues)] : []),
  ];
  const before = chunks.reduce((sum, chunk) => sum + chunk.length, 0);
  const riff = 4 + before + 8 + data;
  if (riff > MOST) {
    throw new RangeError(`wavHeader: found ${frames} frames of ${channels} channels; a WAV file holds at most 4 GB`);
  }
  const bytes = new Uint8Array(12 + before + 8);
  const view = new DataView(bytes.buffer);
  write(bytes, 0, 'RIFF');
  view.setUint32(4, riff, true);
  write(bytes, 8, 'WAVE');
  let at = 12;
  for (const chunk of chunks) {
    bytes.set(chunk, at);
    at += chunk.length;
  }
  write(bytes, at, 'data');
  view.setUint32(at + 4, data, true);
  return bytes;
}

/** Interleaved 16-bit samples of one or two sides; what is beyond -1 to 1 is cut off. */
export function toPcm16(left: Float32Array, right: Float32Array, frames: number): Uint8Array {
  const samples = new Int16Array(frames * 2);
  const whole = (x: number): number => Math.round(Math.min(1, Math.max(-1, x)) * 32767);
  for (let i = 0; i < frames; i++) {
    samples[2 * i] = whole(left[i]!);
    samples[2 * i + 1] = whole(right[i]!);
  }
  return new Uint8Array(samples.buffer);
}

function format(sampleRate: number, channels: number): Uint8Array {
  const { bytes, view } = chunk('fmt ', 16);
  view.setUint16(8, 1, true);
  view.setUint16(10, channels, true);
  view.setUint32(12, sampleRate, true);
  view.setUint32(16, sampleRate * channels * SAMPLE, true);
  view.setUint16(20, channels * SAMPLE, true);
  view.setUint16(22, 8 * SAMPLE, true);
  return bytes;
}

function cuePoints(cues: readonly Cue[]): Uint8Array {
  const { bytes, view } = chunk('cue ', 4 + 24 * cues.length);
  view.setUint32(8, cues.length, true);
  cues.forEach(({ frame }, i) => {
    const at = 12 + 24 * i;
    view.setUint32(at, i + 1, true);
    view.setUint32(at + 4, frame, true);
    write(bytes, at + 8, 'data');
    view.setUint32(at + 20, frame, true);
  });
  return bytes;
}

function labels(cues: readonly Cue[]): Uint8Array {
  return list(
    'adtl',
    cues.map(({ label }, i) => {
      // The number of the cue, then its name.
      const number = new Uint8Array(4);
      new DataView(number.buffer).setUint32(0, i + 1, true);
      return { name: 'labl', data: [...number, ...strToU8(label), 0] };
    }),
  );
}

function information({ title, artist, bpm, key, speed }: TrackTags): Uint8Array {
  const facts = [
    ...(bpm === undefined ? [] : [`${Math.round(bpm)} bpm`]),
    ...(key ? [`${key.tonic} ${key.mode}`] : []),
    `speed ${Math.round(100 * speed)} %`,
  ];
  const texts = {
    INAM: title,
    ...(artist === undefined ? {} : { IART: artist }),
    ICMT: facts.join(', '),
    ISFT: 'Barwright',
  };
  return list(
    'INFO',
    Object.entries(texts).map(([name, text]) => ({ name, data: [...strToU8(text), 0] })),
  );
}

/** A chunk of chunks; each is filled up to an even length. Readers of today expect UTF-8 in them. */
function list(
  kind: string,
  entries: readonly { readonly name: string; readonly data: readonly number[] }[],
): Uint8Array {
  const sizes = entries.map(({ data }) => 8 + data.length + (data.length % 2));
  const { bytes, view } = chunk('LIST', 4 + sizes.reduce((sum, size) => sum + size, 0));
  write(bytes, 8, kind);
  let at = 12;
  entries.forEach(({ name, data }, i) => {
    write(bytes, at, name);
    view.setUint32(at + 4, data.length, true);
    bytes.set(data, at + 8);
    at += sizes[i]!;
  });
  return bytes;
}

function chunk(name: string, size: number): { readonly bytes: Uint8Array; readonly view: DataView } {
  const bytes = new Uint8Array(8 + size);
  const view = new DataView(bytes.buffer);
  write(bytes, 0, name);
  view.setUint32(4, size, true);
  return { bytes, view };
}

function write(bytes: Uint8Array, at: number, ascii: string): void {
  for (let i = 0; i < ascii.length; i++) bytes[at + i] = ascii.charCodeAt(i);
}
