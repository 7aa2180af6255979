import { spawnSync } from 'node:child_process';
import { existsSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import FFT from 'fft.js';
import { beforeAll, describe, expect, it } from 'vitest';
import { decodeFile } from '../../src/platform/decode/node.js';
import { packedSound } from '../../src/dsp/packed-sound.js';
import type { Pcm } from '../../src/dsp/pcm.js';
import { renderTrack } from '../../src/export/practice-track.js';
import { toPcm16, wavHeader } from '../../src/export/wav.js';
import type { PlayPlan } from '../../src/model/play-plan.js';
import { instantiate } from '../../src/platform/worker/instantiate.js';
import { samplePath } from '../support/sample-evidence.js';

const LEVELS = { recording: 1, click: 0, count: 0, strum: 0 };
const SECONDS = 12;
const FROM = 40;

/** The left side of SECONDS of a recording, played at `rate` from the first frame on. */
function stretched(pcm: Pcm, rate: number): Float32Array {
  const pieces = [{ at: 0, from: FROM, until: FROM + SECONDS, rate }];
  const plan: PlayPlan = { pieces, soundings: [], counts: [], bars: 0, end: SECONDS / rate };
  const sound = new Float32Array(Math.round((SECONDS / rate) * pcm.sampleRate));
  let at = 0;
  for (const { left, frames } of renderTrack(packedSound(pcm), plan, instantiate, { levels: LEVELS, transpose: 0 })) {
    sound.set(left.subarray(0, Math.min(frames, Math.max(0, sound.length - at))), Math.min(at, sound.length));
    at += frames;
  }
  return sound;
}

/** Mean power in each bin of a long spectrum (Welch 1967, Hann window, half overlapped). */
function spectrumOf(sound: Float32Array, size = 32768): Float64Array {
  const fft = new FFT(size);
  const out = new Float64Array(2 * size);
  const sum = new Float64Array(size / 2);
  for (let from = 0; from + size <= sound.length; from += size / 2) {
    const frame = Array.from(
      { length: size },
      (_, i) => sound[from + i]! * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size)),
    );
    fft.realTransform(out, frame);
    for (let k = 0; k < size / 2; k++) sum[k]! += out[2 * k]! ** 2 + out[2 * k + 1]! ** 2;
  }
  return sum;
}

/** The strongest peaks between 150 and 2000 Hz, in bins, by a parabola through the logarithms. */
function peaksOf(power: Float64Array, binsPerHertz: number, count: number): number[] {
  const peaks: { bin: number; power: number }[] = [];
  for (let k = Math.round(150 * binsPerHertz); k < 2000 * binsPerHertz; k++) {
    if (!(power[k]! > power[k - 1]! && power[k]! >= power[k + 1]!)) continue;
    const [a, b, c] = [power[k - 1]!, power[k]!, power[k + 1]!].map(Math.log) as [number, number, number];
    peaks.push({ bin: k + (0.5 * (a - c)) / (a - 2 * b + c), power: power[k]! });
  }
  return peaks
    .sort((a, b) => b.power - a.power)
    .slice(0, count)
    .map(({ bin }) => bin);
}

/** Level of each third of an octave from 100 Hz to 10 kHz, in dB (bands as in IEC 61260-1, edges rounded to bins). */
function thirdsOf(power: Float64Array, binsPerHertz: number): number[] {
  return Array.from({ length: 20 }, (_, i) => {
    const middle = 100 * 2 ** (i / 3);
    const [from, to] = [middle * 2 ** (-1 / 6), middle * 2 ** (1 / 6)].map((hertz) => Math.round(hertz * binsPerHertz));
    return 10 * Math.log10(power.subarray(from, to).reduce((sum, x) => sum + x, 0));
  });
}

describe('a rendered song, stretched', () => {
  let pcm: Pcm;
  beforeAll(async () => {
    pcm = (await decodeFile(samplePath('kites-over-brennick.ogg'))).pcm;
  });

  it.each([0.7, 1.2])('keeps its pitch within 3 cents at %f of its speed', (rate) => {
    const binsPerHertz = 32768 / pcm.sampleRate;
    const own = peaksOf(spectrumOf(stretched(pcm, 1)), binsPerHertz, 40);
    const now = peaksOf(spectrumOf(stretched(pcm, rate)), binsPerHertz, 80);
    const offs = own
      .map((bin) => now.map((each) => 1200 * Math.log2(each / bin)).sort((a, b) => Math.abs(a) - Math.abs(b))[0]!)
      .filter((off) => Math.abs(off) < 25)
      .sort((a, b) => a - b);
    expect(offs.length).toBeGreaterThan(25);
    expect(Math.abs(offs[offs.length >> 1]!)).toBeLessThan(3);
  });
});

/** A real recording (CC BY-SA 3.0) from Debian's fretsonfire-songs-muldjord, and an independent stretcher, rubberband-cli. */
const SONG = '/usr/share/games/fretsonfire/data/songs/muldjord/mutilated_mime/song.ogg';
const isThere = existsSync(SONG) && spawnSync('rubberband', ['--version']).error === undefined;
if (!isThere) {
  process.stdout.write(
    "Left out: a real song beside an independent stretcher. It takes Debian's fretsonfire-songs-muldjord and rubberband-cli.\n",
  );
}

describe.skipIf(!isThere)('a real song beside an independent stretcher', () => {
  it('has its length and its spectrum', async () => {
    const { pcm } = await decodeFile(SONG);
    const ours = stretched(pcm, 0.7);
    const folder = mkdtempSync(join(tmpdir(), 'barwright-stretch-'));
    const plain = stretched(pcm, 1);
    const wav = (name: string) => join(folder, name);
    writeFileSync(
      wav('in.wav'),
      Buffer.concat([
        wavHeader({ sampleRate: pcm.sampleRate, channels: 2, frames: plain.length }),
        toPcm16(plain, plain, plain.length),
      ]),
    );
    expect(spawnSync('rubberband', ['-q', '-t', String(1 / 0.7), wav('in.wav'), wav('out.wav')]).status).toBe(0);
    const bytes = readFileSync(wav('out.wav'));
    rmSync(folder, { recursive: true });
    const data = bytes.indexOf('data') + 8;
    const theirs = Float32Array.from(
      { length: (bytes.length - data) >> 2 },
      (_, i) => bytes.readInt16LE(data + 4 * i) / 32768,
    );
    expect(Math.abs(theirs.length - ours.length) / pcm.sampleRate).toBeLessThan(0.05);
    const [own, our, their] = [plain, ours, theirs].map((sound) =>
      thirdsOf(spectrumOf(sound, 8192), 8192 / pcm.sampleRate),
    ) as [number[], number[], number[]];
    const mean = (values: readonly number[]) => values.reduce((sum, x) => sum + x, 0) / values.length;
    const change = (levels: readonly number[]) => levels.map((level, i) => level - own[i]!);
    // The other program is some dB quieter throughout, so that nothing clips: how the bands lie to each other counts.
    const between = our.map((level, i) => level - their[i]!);
    expect(Math.max(...change(our).map(Math.abs))).toBeLessThan(2);
    expect(Math.max(...between.map((x) => Math.abs(x - mean(between))))).toBeLessThan(2);
  });
});
