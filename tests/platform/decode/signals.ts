/** Signals with known truth, and plain files made of them, for the tests of decoding in Node and in the browser. */

/** Seconds at which the clicks of `clicks` begin. */
export const CLICK_TIMES = [1, 2.25, 3.5, 4.75];
export const CLICK_SECONDS = 5.5;

/** Four clicks in silence: 3 kHz, at its loudest at once, gone after some 5 ms. The fixtures hold the same sound. */
export function clicks(rate: number, seconds = CLICK_SECONDS): Float32Array {
  const signal = new Float32Array(Math.round(rate * seconds));
  for (const time of CLICK_TIMES) {
    const start = Math.round(time * rate);
    for (let i = start; i < Math.min(signal.length, start + 0.05 * rate); i++) {
      const t = i / rate - time;
      signal[i] = 0.8 * Math.cos(2 * Math.PI * 3000 * t) * Math.exp(-t / 0.002);
    }
  }
  return signal;
}

/** Clicks at 120 bpm, every fourth low and loud. */
export function inFour(rate: number, seconds: number): Float32Array {
  return Float32Array.from({ length: rate * seconds }, (_, i) => {
    const since = i / rate - 1;
    const beat = Math.floor(since / 0.5);
    const [pitch, level] = beat % 4 === 0 ? [110, 0.9] : [440, 0.4];
    const after = since - beat * 0.5;
    return since < 0 ? 0 : level * Math.exp(-40 * after) * Math.sin(2 * Math.PI * pitch * after);
  });
}

/** Seconds of the first sample that reaches half of the largest: the first attack. */
export function firstAttack(signal: Float32Array, rate: number): number {
  let peak = 0;
  for (const x of signal) peak = Math.max(peak, Math.abs(x));
  return signal.findIndex((x) => Math.abs(x) >= peak / 2) / rate;
}

export interface WavOptions {
  readonly rate: number;
  readonly channels: readonly Float32Array[];
  /** 'f32', 'f64', or bits of whole numbers. */
  readonly coding?: 8 | 16 | 24 | 32 | 'f32' | 'f64';
  /** What the header says of the size of the samples; the truth when absent. */
  readonly claimedSize?: number;
  /** Chunks to put before the samples: id of four letters and content. */
  readonly chunks?: readonly (readonly [id: string, content: Uint8Array])[];
  readonly extensible?: boolean;
}

/** A WAV file. */
export function wav(options: WavOptions): Uint8Array {
  const { rate, channels, coding = 16, chunks = [] } = options;
  const bytes = typeof coding === 'number' ? coding / 8 : Number(coding.slice(1)) / 8;
  const frames = channels[0]!.length;
  const size = frames * channels.length * bytes;
  const fmt = options.extensible ? 40 : 16;
  const extra = chunks.reduce((sum, [, content]) => sum + 8 + content.length + (content.length & 1), 0);
  const file = new Uint8Array(12 + 8 + fmt + extra + 8 + size);
  const view = new DataView(file.buffer);
  let at = 0;
  const text = (word: string) => [...word].forEach((letter) => view.setUint8(at++, letter.charCodeAt(0)));
  const u16 = (x: number) => (view.setUint16(at, x, true), (at += 2));
  const u32 = (x: number) => (view.setUint32(at, x, true), (at += 4));
  const tag = typeof coding === 'number' ? 1 : 3;
  text('RIFF');
  u32((options.claimedSize ?? size) + file.length - size - 8);
  text('WAVEfmt ');
  u32(fmt);
  u16(options.extensible ? 0xfffe : tag);
  u16(channels.length);
  u32(rate);
  u32(rate * channels.length * bytes);
  u16(channels.length * bytes);
  u16(8 * bytes);
  if (options.extensible) {
    u16(22);
    u16(8 * bytes);
    u32(0);
    u16(tag);
    at += 14;
  }
  for (const [id, content] of chunks) {
    text(id);
    u32(content.length);
    file.set(content, at);
    at += content.length + (content.length & 1);
  }
  text('data');
  u32(options.claimedSize ?? size);
  for (let i = 0; i < frames; i++)
    for (const channel of channels) {
      writeSample(view, at, channel[i]!, coding);
      at += bytes;
    }
  return file;
}

function writeSample(view: DataView, at: number, x: number, coding: NonNullable<WavOptions['coding']>): void {
  const whole = (bits: number) =>
    Math.max(-(2 ** (bits - 1)), Math.min(2 ** (bits - 1) - 1, Math.round(x * 2 ** (bits - 1))));
  if (coding === 8) view.setUint8(at, whole(8) + 128);
  else if (coding === 16) view.setInt16(at, whole(16), true);
  else if (coding === 24) {
    view.setUint16(at, whole(24) & 0xffff, true);
    view.setInt8(at + 2, whole(24) >> 16);
  } else if (coding === 32) view.setInt32(at, whole(32), true);
  else if (coding === 'f32') view.setFloat32(at, x, true);
  else view.setFloat64(at, x, true);
}
