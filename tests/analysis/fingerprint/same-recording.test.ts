import { spawnSync } from 'node:child_process';
import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { beforeAll, describe, expect, it } from 'vitest';
import { recognise, wantedRecording } from '../../../src/analysis/fingerprint/same-recording.js';
import { wordIndex } from '../../../src/analysis/fingerprint/word-index.js';
import { decodeFile } from '../../../src/platform/decode/node.js';
import { fingerprint, PRINT_RATE, type Fingerprint } from '../../../src/dsp/fingerprint.js';
import { resample } from '../../../src/dsp/resample.js';
import type { Ffts } from '../../../src/dsp/spectrum.js';
import { loadFfts } from '../../../src/platform/worker/fft-loader.js';
import { samplePath } from '../../support/sample-evidence.js';

const RATE = 22050;
let ffts: Ffts;
let kites: Float32Array;
let known: Fingerprint;
let tarn: Fingerprint;
beforeAll(async () => {
  ffts = await loadFfts();
  kites = (await decodeFile(samplePath('kites-over-brennick.ogg'))).signal;
  known = fingerprint(kites, ffts);
  tarn = fingerprint((await decodeFile(samplePath('tarn-at-wendlow.mp3'))).signal, ffts);
});

const found = (signal: Float32Array) => wantedRecording(fingerprint(signal, ffts)).find(known);

describe('a fingerprint', () => {
  it('has a word every 11.6 ms (Haitsma and Kalker 2002, section 4.2)', () => {
    expect(1000 / PRINT_RATE).toBeCloseTo(11.6, 1);
    expect(known.words.length / PRINT_RATE).toBeCloseTo(kites.length / RATE - 0.37, 1);
  });

  it('of two recordings differs in half of the bits, of the same in few (section 5: 0.5 and 0.05 to 0.2)', () => {
    const share = (a: Uint32Array, b: Uint32Array): number => {
      let ones = 0;
      for (let i = 1000; i < 9000; i++) {
        for (let x = (a[i]! ^ b[i]!) >>> 0; x > 0; x = (x & (x - 1)) >>> 0) ones++;
      }
      return ones / (32 * 8000);
    };
    expect(share(known.words, tarn.words)).toBeGreaterThan(0.45);
    const noisy = kites.map((x, i) => Math.tanh(x * 1.5) + 0.003 * Math.sin(i * i));
    expect(share(known.words, fingerprint(noisy, ffts).words)).toBeLessThan(0.2);
  });
});

describe('the same recording in another file', () => {
  it.each([0.4217, 41.06129])('that begins %d s in is found there to 2 ms', (seconds) => {
    const cut = Math.round(seconds * RATE);
    const { offset, speed, common } = found(kites.slice(cut))!;
    expect(offset).toBeCloseTo(-cut / RATE, 2.5);
    expect(speed).toBe(1);
    expect(common).toBeCloseTo(known.words.length / PRINT_RATE - seconds, -1);
  });

  it.each([
    [101, 100],
    [99, 100],
  ])('that plays %d to %d as long is found with its speed to 50 ppm and its times to 8 ms', (long, short) => {
    const late = new Float32Array(5000 + Math.ceil((kites.length * long) / short));
    late.set(resample(kites, short, long), 5000);
    const { offset, speed } = found(late)!;
    expect(Math.abs(speed / (long / short) - 1)).toBeLessThan(5e-5);
    for (const time of [0, 100, 200]) {
      expect(Math.abs(offset + speed * time - (5000 / RATE + (time * long) / short))).toBeLessThan(0.008);
    }
  });

  it('is found although only 40 seconds of it are there, in silence and noise', () => {
    const noise = new Float32Array(80 * RATE).map((_, i) => 0.01 * Math.sin(i * i * 0.7));
    noise.set(kites.subarray(60 * RATE, 100 * RATE), 20 * RATE);
    // What is not the recording may not be most of what both have.
    expect(found(noise.slice(20 * RATE, 60 * RATE))!.offset).toBeCloseTo(-60, 2);
    expect(found(noise)).toBeUndefined();
  });

  const hasEncoder = spawnSync('ffmpeg', ['-version']).status === 0;
  it.skipIf(!hasEncoder)('is found in an MP3 of 96 kbit/s that was trimmed (needs ffmpeg)', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'barwright-'));
    try {
      const file = join(folder, 'x.mp3');
      const source = samplePath('kites-over-brennick.ogg');
      const made = spawnSync('ffmpeg', ['-loglevel', 'error', '-ss', '7.25', '-i', source, '-b:a', '96k', file]);
      expect(made.status).toBe(0);
      const { offset, speed } = found((await decodeFile(file)).signal)!;
      expect(Math.abs(offset + 7.25)).toBeLessThan(0.03);
      expect(speed).toBe(1);
    } finally {
      rmSync(folder, { recursive: true });
    }
  });
});

describe('another recording', () => {
  it('is not found', () => {
    expect(wantedRecording(tarn).find(known)).toBeUndefined();
    expect(wantedRecording(known).find(tarn)).toBeUndefined();
    expect(found(new Float32Array(30 * RATE))).toBeUndefined();
    expect(found(new Float32Array(0))).toBeUndefined();
    expect(found(kites.slice(0, 5 * RATE))).toBeUndefined();
  });

  it('with the same song in the library is passed over for the one that it is', () => {
    const all = [
      { id: 'tarn', print: tarn },
      { id: 'kites', print: known },
    ];
    expect(recognise(fingerprint(kites.slice(4410), ffts), all)).toMatchObject({ id: 'kites', speed: 1 });
    expect(recognise(tarn, all)).toMatchObject({ id: 'tarn', speed: 1, agreement: 1 });
    expect(recognise(tarn, [])).toBeUndefined();
  });
});

describe('the index of words', () => {
  it('gives every place of a word, and none of silence or of what is everywhere', () => {
    const places = (words: readonly number[], word: number): number[] => {
      const seen: number[] = [];
      wordIndex(Uint32Array.from(words)).places(word, (place) => seen.push(place));
      return seen;
    };
    expect(places([7, 0, 4294967295, 7, 3], 7)).toEqual([0, 3]);
    expect(places([7, 0, 4294967295, 7, 3], 4294967295)).toEqual([2]);
    expect(places([7, 0], 0)).toEqual([]);
    expect(places(new Array<number>(100).fill(9), 9)).toEqual([]);
  });
});
