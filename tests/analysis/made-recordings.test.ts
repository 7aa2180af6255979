import { describe, expect, it } from 'vitest';
import { analyse } from '../../src/analysis/analyse.js';
import { SILENT_PROGRESS } from '../../src/analysis/progress.js';
import { solveRhythm } from '../../src/analysis/solve-rhythm.js';
import { median } from '../../src/dsp/series.js';
import type { Bar } from '../../src/model/song-map.js';
import { loadTools } from '../../src/platform/worker/tools-loader.js';
import { fMeasure } from '../bench/measures/beat.js';
import { decodeBytes } from '../platform/decode/fixtures.js';
import { wav } from '../platform/decode/signals.js';
import { madeBeats, seeded, type MadeBeat } from '../support/made-evidence.js';

/** Kick on beat 1 and softer on 3, snare on 2 and 4, hat on every eighth, a bass note a bar: played at any sample rate. */
function played(beats: readonly MadeBeat[], rate: number, swing: number): Float32Array {
  const random = seeded(4);
  const last = beats[beats.length - 1] as MadeBeat;
  const signal = new Float32Array(Math.round((last.time + 2) * rate));
  const add = (time: number, seconds: number, sound: (t: number) => number): void => {
    const first = Math.ceil(time * rate);
    for (let i = first; i < Math.min(signal.length, first + seconds * rate); i++)
      signal[i] = (signal[i] as number) + sound(i / rate - time);
  };
  const noise = (fall: number) => (t: number) => (2 * random() - 1) * Math.exp(-t / fall);
  const kick = (t: number): number =>
    Math.sin(2 * Math.PI * (55 * t + 3 * (1 - Math.exp(-t / 0.03)))) * Math.exp(-t / 0.12);
  beats.forEach(({ time, place, chord }, i) => {
    const length = (beats[i + 1]?.time ?? time + 0.5) - time;
    const low = place % 2 === 0;
    add(time, 0.3, low ? (t) => (place === 0 ? 0.6 : 0.35) * kick(t) : (t) => 0.25 * noise(0.05)(t));
    for (const at of [0, swing]) add(time + at * length, 0.05, (t) => 0.06 * noise(0.01)(t));
    if (place > 0) return;
    const hertz = [82.4, 110, 73.4, 98][chord % 4] as number;
    add(
      time,
      3.5 * length,
      (t) => 0.2 * (Math.sin(2 * Math.PI * hertz * t) + 0.5 * Math.sin(4 * Math.PI * hertz * t)) * Math.exp(-t),
    );
  });
  return signal;
}

interface Case {
  readonly rate: number;
  readonly bpm: number;
  readonly first: number;
  readonly swing?: number;
  readonly drift?: number;
}
const CASES: readonly Case[] = [
  { rate: 8000, bpm: 92, first: 0.9 },
  { rate: 48000, bpm: 124, first: 2.345, drift: 0.03 },
];
const MORE: readonly Case[] = [
  { rate: 11025, bpm: 104, first: 0 },
  { rate: 16000, bpm: 84, first: 1.2, swing: 0.67 },
  { rate: 22050, bpm: 116, first: 0.3, swing: 0.6 },
  { rate: 32000, bpm: 72, first: 3 },
  { rate: 44100, bpm: 150, first: 0.05, drift: 0.04 },
  { rate: 88200, bpm: 132, first: 0.5 },
  { rate: 96000, bpm: 98, first: 1, swing: 0.64, drift: 0.02 },
];

describe('recordings made at any sample rate', () => {
  it.each([...CASES, ...(process.env.BARWRIGHT_LONG ? MORE : [])])(
    'give beats on their attacks, and bar lines: $rate Hz, $bpm beats a minute',
    async ({ rate, bpm, first, swing = 0.5, drift = 0 }) => {
      const period = (beat: number): number => (60 / bpm) * (1 + drift * Math.sin(beat / 16));
      const beats = madeBeats(Array<number>(16).fill(4), period, first);
      const bytes = wav({ rate, channels: [played(beats, rate, swing)], coding: 16 });
      const { signal } = await decodeBytes(bytes, 'made.wav');
      const evidence = await analyse(signal, await loadTools(), SILENT_PROGRESS);
      const outcome = solveRhythm(evidence, []);
      if (!outcome.ok) throw new Error('a conflict without locks');
      const bars = outcome.spans.filter((span): span is Bar => span.kind === 'bar');
      const found = bars.flatMap((bar) => bar.beats);
      const truth = beats.map(({ time }) => time);
      expect(fMeasure(truth, found)).toBeGreaterThan(0.97);
      const errors = truth.map((time) => Math.min(...found.map((beat) => Math.abs(beat - time))));
      expect(median(errors)).toBeLessThan(0.005);
      const lines = beats.filter(({ place }) => place === 0).map(({ time }) => time);
      const starts = bars.filter((bar) => !bar.pickup).map(({ start }) => start);
      expect(fMeasure(lines, starts)).toBeGreaterThan(0.9);
    },
  );
});
