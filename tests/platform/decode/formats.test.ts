import { createHash } from 'node:crypto';
import { describe, expect, it } from 'vitest';
import { PEAK_RATE } from '../../../src/dsp/peaks.js';
import type { FreshlyDecoded } from '../../../src/platform/decode/decode-sound.js';
import { BROWSER_ONLY, decodeBytes, EXACT, fixture, problemWith } from './fixtures.js';
import { CLICK_SECONDS, CLICK_TIMES, clicks, firstAttack, wav } from './signals.js';

/** Seconds of the first attack in the sound for playing, in that for analysing, and in the outline. */
function attacks({ pcm, signal, peaks }: FreshlyDecoded): { played: number; analysed: number; drawn: number } {
  const heights = Float32Array.from(peaks.data.filter((_, i) => i % 2 === 1));
  return {
    played: firstAttack(pcm.channels[0]!, pcm.sampleRate),
    analysed: firstAttack(signal, 22050),
    drawn: firstAttack(heights, PEAK_RATE),
  };
}

function expectClicks(decoded: FreshlyDecoded): void {
  const { played, analysed, drawn } = attacks(decoded);
  expect(Math.abs(played - CLICK_TIMES[0]!)).toBeLessThan(0.001);
  expect(Math.abs(analysed - CLICK_TIMES[0]!)).toBeLessThan(0.001);
  expect(Math.abs(drawn - CLICK_TIMES[0]!)).toBeLessThanOrEqual(1 / PEAK_RATE);
}

describe('decoding', () => {
  it.each(Object.entries(EXACT))('hears the first attack of %s where it is, to a millisecond', async (name, what) => {
    const bytes = fixture(name);
    const decoded = await decodeBytes(bytes, name);
    expectClicks(decoded);
    const { pcm, signal, peaks, recording, format, warning } = decoded;
    expect({ format, rate: recording.sampleRate, channels: recording.channels }).toEqual(what);
    expect(warning).toBeUndefined();
    expect(pcm.channels.length).toBe(Math.min(2, what.channels));
    expect(pcm.sampleRate).toBe(Math.min(48000, what.rate));
    // Containers other than these keep the encoder's padding at the end.
    expect(recording.duration).toBeGreaterThanOrEqual(CLICK_SECONDS - 1e-9);
    expect(recording.duration).toBeLessThan(CLICK_SECONDS + (/webm|mp4/.test(name) ? 0.03 : 1e-6));
    expect(pcm.channels.every((channel) => channel.length === recording.duration * pcm.sampleRate)).toBe(true);
    expect(signal.length).toBe(Math.floor((pcm.channels[0]!.length * 22050) / pcm.sampleRate));
    expect(peaks.data.length).toBe(2 * Math.ceil(recording.duration * PEAK_RATE));
    expect(recording.contentId).toBe(createHash('sha256').update(bytes).digest('hex'));
    expect(recording.fileName).toBe(name);
  });

  it.each(['headerless.mp3', 'layer2.mp2', 'mp3.mka'])(
    'hears %s later by no more than encoder and decoder take',
    async (name) => {
      const { played } = attacks(await decodeBytes(fixture(name)));
      expect(played).toBeGreaterThan(CLICK_TIMES[0]!);
      expect(played).toBeLessThan(CLICK_TIMES[0]! + 0.03);
    },
  );

  it.each(BROWSER_ONLY)('says that %s needs the browser', async (name) => {
    const problem = await problemWith(fixture(name));
    expect(problem.kind).toBe('no-decoder');
    expect(problem.message).toMatch(/cannot decode AAC in MP4\. Open it in the browser, or convert it/);
  });

  it('reads WAV of every coding alike', async () => {
    for (const coding of [8, 16, 24, 32, 'f32', 'f64'] as const)
      for (const extensible of [false, true]) {
        const left = clicks(44100);
        const right = left.map((x) => -x / 2);
        const decoded = await decodeBytes(wav({ rate: 44100, channels: [left, right], coding, extensible }));
        const error = (got: Float32Array, due: Float32Array) =>
          got.reduce((most, x, i) => Math.max(most, Math.abs(x - due[i]!)), 0);
        const step = typeof coding === 'number' ? 2 ** (1 - coding) : 0;
        expect(decoded.pcm.channels[0]!.length).toBe(left.length);
        expect(error(decoded.pcm.channels[0]!, left), `${coding}`).toBeLessThanOrEqual(step / 2 + 1e-7);
        expect(error(decoded.pcm.channels[1]!, right), `${coding}`).toBeLessThanOrEqual(step / 2 + 1e-7);
      }
  });

  it('reads WAV of every rate from 8 to 192 kHz and any number of channels', async () => {
    for (const rate of [8000, 11025, 16000, 22050, 32000, 44100, 48000, 88200, 96000, 176400, 192000])
      for (const count of rate === 16000 ? [1, 2, 3, 6, 8, 12] : [2]) {
        const channels = Array.from({ length: count }, () => clicks(rate));
        const decoded = await decodeBytes(wav({ rate, channels }));
        expectClicks(decoded);
        expect(decoded.pcm.sampleRate).toBe(rate <= 48000 ? rate : rate % 44100 === 0 ? 44100 : 48000);
        expect(decoded.pcm.channels.length).toBe(count === 1 || count === 12 ? 1 : 2);
      }
  });

  it('passes over chunks before the samples and believes the file, not a size that a stream could not know', async () => {
    const channels = [clicks(16000)];
    const chunks = [
      ['JUNK', new Uint8Array(333)],
      ['bext', new Uint8Array(602)],
    ] as const;
    for (const claimedSize of [0, 0xffffffff, 0x7fffffff]) {
      const decoded = await decodeBytes(wav({ rate: 16000, channels, chunks, claimedSize }));
      expectClicks(decoded);
      expect(decoded.recording.duration).toBe(CLICK_SECONDS);
      expect(decoded.warning).toBeUndefined();
    }
  });

  it('finds an MP3 behind tags and leaves the tag after it alone', async () => {
    const mp3 = fixture('headerless.mp3');
    const tag = new Uint8Array(10 + 300_000);
    tag.set([0x49, 0x44, 0x33, 4, 0, 0, 0, 18, 39, 96]);
    const last = new Uint8Array(128);
    last.set([0x54, 0x41, 0x47]);
    const { pcm, format } = await decodeBytes(new Uint8Array([...tag, ...tag, ...mp3, ...last]));
    const plain = await decodeBytes(mp3);
    expect(format).toBe('MP3');
    expect(pcm.channels[0]).toEqual(plain.pcm.channels[0]);
  });

  it('analyses one channel where two cancel each other', async () => {
    const left = clicks(44100);
    const decoded = await decodeBytes(wav({ rate: 44100, channels: [left, left.map((x) => -x)] }));
    expectClicks(decoded);
    expect(Math.max(...decoded.signal)).toBeGreaterThan(0.4);
  });

  it('makes silence of what is no number and holds what is far beyond full scale', async () => {
    const odd = clicks(16000);
    odd.set([NaN, Infinity, -Infinity, 1e30, -1e30], 40000);
    for (const coding of ['f32', 'f64'] as const) {
      const { pcm, signal } = await decodeBytes(wav({ rate: 16000, channels: [odd], coding }));
      expect([...pcm.channels[0]!.subarray(40000, 40005)]).toEqual([0, 0, 0, 4, -4]);
      expect(signal.every((x) => Math.abs(x) <= 8)).toBe(true);
    }
  });
});
