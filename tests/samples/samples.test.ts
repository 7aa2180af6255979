import { readFileSync, statSync } from 'node:fs';
import FFT from 'fft.js';
import { beforeAll, describe, expect, it } from 'vitest';
import { SAMPLES } from '../../src/app/library/samples.js';
import { decodeFile } from '../../src/platform/decode/node.js';
import type { Pcm } from '../../src/dsp/pcm.js';
import { jamsFaults } from '../support/jams-schema.js';

interface Observation<Value> {
  readonly time: number;
  readonly duration: number;
  readonly value: Value;
}
interface BeatValue {
  readonly position: number;
  readonly measure: number;
  readonly num_beats: number;
}
interface Truth {
  readonly file_metadata: { readonly title: string; readonly duration: number };
  readonly annotations: readonly { readonly namespace: string; readonly data: readonly Observation<unknown>[] }[];
  readonly sandbox: { readonly tuning_cents: number };
}

const NAMESPACES = ['beat_position', 'segment_open', 'chord', 'tempo', 'key_mode'];

function json<T>(path: string): T {
  return JSON.parse(readFileSync(path, 'utf8')) as T;
}

/** Lengths of the bars in the form "section 4 4 3 | section 4", from the truth alone. */
function barsOf(data: <T>(namespace: string) => readonly Observation<T>[]): Map<string, number[]> {
  const bars = new Map<string, number[]>();
  const sections = data<string>('segment_open');
  const beats = data<BeatValue>('beat_position');
  sections.forEach(({ time, duration, value }, i) => {
    const inside = beats.filter((beat) => beat.time >= time - 1e-3 && beat.time < time + duration - 1e-3);
    const measures = [...new Set(inside.map((beat) => beat.value.measure))];
    const lengths = measures.map((measure) => inside.filter((beat) => beat.value.measure === measure).length);
    bars.set(`${i} ${value}`, lengths);
  });
  return bars;
}

/** Where the sound grows most within 50 ms of a time: spectral flux over 10 ms (Bello et al. 2005), seconds from it. */
function attackNear(sound: Pcm, time: number): number {
  const [size, hop] = [512, 64];
  const ahead = Math.round((0.01 * sound.sampleRate) / hop);
  const fft = new FFT(size);
  const first = Math.round((time - 0.06) * sound.sampleRate) - size / 2;
  const count = Math.ceil((0.12 * sound.sampleRate) / hop);
  const spectra = Array.from({ length: count }, (_, i) => {
    const frame = Array.from({ length: size }, (_, k) => {
      const at = first + i * hop + k;
      const sum = sound.channels.reduce((total, channel) => total + (channel[at] ?? 0), 0);
      return (sum / sound.channels.length) * (0.5 - 0.5 * Math.cos((2 * Math.PI * k) / size));
    });
    const out = new Array<number>(2 * size).fill(0);
    fft.realTransform(out, frame);
    return Float64Array.from({ length: size / 2 }, (_, k) =>
      Math.log1p(1.6 * Math.hypot(out[2 * k]!, out[2 * k + 1]!)),
    );
  });
  let [best, largest] = [0, -1];
  for (let i = 0; i + ahead < count; i++) {
    const at = (first + (i + ahead / 2) * hop + size / 2) / sound.sampleRate - time;
    const growth = spectra[i + ahead]!.reduce((sum, x, k) => sum + Math.max(0, x - spectra[i]![k]!), 0);
    if (Math.abs(at) <= 0.05 && growth > largest) [best, largest] = [at, growth];
  }
  return best;
}

it('there are two bundled recordings, in two formats', () => {
  expect(SAMPLES.map(({ file }) => file.split('.').at(-1))).toEqual(['ogg', 'mp3']);
});

describe.each(SAMPLES)('$title', ({ file, title }) => {
  const path = `samples/public/samples/${file}`;
  const truth = json<Truth>(`samples/${file.replace(/\.\w+$/, '')}.jams`);
  const data = <T>(namespace: string) =>
    truth.annotations.find((one) => one.namespace === namespace)!.data as readonly Observation<T>[];
  let sound: Pcm;
  beforeAll(async () => {
    sound = (await decodeFile(path)).pcm;
  });

  it('is small enough to come with the program', () => {
    expect(statSync(path).size).toBeLessThanOrEqual(3_000_000);
  });

  it('decodes to the length its truth says, and does not clip', () => {
    expect(sound.channels[0]!.length / sound.sampleRate).toBeCloseTo(truth.file_metadata.duration, 2);
    const peak = sound.channels.reduce(
      (top, channel) => channel.reduce((most, x) => Math.max(most, Math.abs(x)), top),
      0,
    );
    expect(peak).toBeGreaterThan(0.3);
    expect(20 * Math.log10(peak)).toBeLessThan(-1);
  });

  it('has a truth that fits the published JAMS schema', () => {
    expect(truth.file_metadata.title).toBe(title);
    for (const namespace of NAMESPACES) expect(data(namespace).length).toBeGreaterThan(0);
    expect(jamsFaults(truth)).toEqual([]);
  });

  it('has beats without gaps, sections on bar lines, and chords all the way', () => {
    for (const namespace of ['beat_position', 'segment_open', 'chord']) {
      const all = data(namespace);
      all.slice(1).forEach((one, i) => expect(one.time).toBeCloseTo(all[i]!.time + all[i]!.duration, 3));
    }
    const downbeats = data<BeatValue>('beat_position').filter(({ value }) => value.position === 1);
    for (const { time } of data('segment_open')) expect(downbeats.some((beat) => beat.time === time)).toBe(true);
    expect(data('chord')[0]!.time).toBe(0);
  });

  it('is played where its truth says', () => {
    // Every fifth beat: all places in the bar come up, in a fifth of the time.
    const some = data<BeatValue>('beat_position').filter((_, i) => i % 5 === 0);
    const off = some.map(({ time }) => attackNear(sound, time));
    const sorted = [...off].sort((a, b) => a - b);
    expect(Math.abs(sorted[sorted.length >> 1]!)).toBeLessThan(0.003);
    expect(off.filter((x) => Math.abs(x) <= 0.02).length / off.length).toBeGreaterThan(0.93);
  });

  it('is not played to a machine: the tempo wanders by a few per cent', () => {
    const beats = data('beat_position');
    const tempi = beats.map(({ duration }) => 60 / duration).sort((a, b) => a - b);
    const spread = tempi[Math.floor(0.95 * tempi.length)]! / tempi[Math.floor(0.05 * tempi.length)]! - 1;
    expect(spread).toBeGreaterThan(0.04);
    expect(spread).toBeLessThan(0.16);
  });

  if (file.startsWith('kites')) {
    it('holds a pickup, a verse with three differences, and a bar of 6', () => {
      const first = data<BeatValue>('beat_position')[0]!.value;
      expect([first.position, first.measure, first.num_beats]).toEqual([3, 0, 4]);
      const bars = barsOf(data);
      const verses = [...bars].filter(([name]) => name.endsWith('verse')).map(([, lengths]) => lengths.join(' '));
      expect(verses).toEqual(['4 4 4 4 4 4 4 4', '4 4 4 3 4 4 4 4', '4 4 4 4 4 4 4 4 4', '4 4 4 4 4 4 4 4']);
      expect([...bars].find(([name]) => name.endsWith('bridge'))![1].at(-1)).toBe(6);
      expect([...bars.values()].flat().filter((length) => length !== 4)).toEqual([3, 6]);
      const chordsOf = (verse: number) => {
        const { time, duration } = data<string>('segment_open').filter(({ value }) => value === 'verse')[verse]!;
        const inside = data<string>('chord').filter(
          (one) => one.time >= time - 1e-3 && one.time < time + duration - 1e-3,
        );
        return inside.map(({ value }) => value).join(' ');
      };
      expect(chordsOf(3)).toBe(chordsOf(0).replace('A B:min', 'A G'));
    });
  } else {
    it('is in 3 with bars of 2 and of 4, tuned about 30 cents high', () => {
      const lengths = [...barsOf(data).values()].flat();
      expect(lengths.filter((length) => length === 3).length).toBe(lengths.length - 4);
      expect(lengths.filter((length) => length !== 3)).toEqual([4, 2, 2, 4]);
      expect(truth.sandbox.tuning_cents).toBe(31);
    });
  }
});
