import { expect, it } from 'vitest';
import { barsOf } from '../../src/model/map-queries.js';
import { decodeBytes } from '../platform/decode/fixtures.js';
import { wav } from '../platform/decode/signals.js';
import { analyseSignal } from '../support/sample-evidence.js';

const RATE = 22050;
const FIRST = 0.3;

/** Ticks of 60 ms in silence, every fourth one higher: common practice of metronomes, no source. */
function ticks(bpm: number, seconds: number): Float32Array {
  const samples = new Float32Array(RATE * seconds);
  for (let k = 0; FIRST + (k * 60) / bpm < seconds - 0.5; k++) {
    const start = Math.round((FIRST + (k * 60) / bpm) * RATE);
    const pitch = k % 4 === 0 ? 1500 : 1000;
    for (let i = 0; i < 0.06 * RATE; i++) {
      samples[start + i] = 0.6 * Math.sin((2 * Math.PI * pitch * i) / RATE) * Math.exp((-60 * i) / RATE);
    }
  }
  return samples;
}

it.each([96, 120])(
  'a bare click track at %i has a beat on each of its clicks to its end, its tempo found or asked about',
  async (bpm) => {
    const { signal, recording } = await decodeBytes(wav({ rate: RATE, channels: [ticks(bpm, 16)] }));
    const { map } = await analyseSignal(signal, recording);
    const beats = barsOf(map).flatMap((bar) => bar.beats);
    const clicks = Array.from({ length: Math.ceil(((15.5 - FIRST) * bpm) / 60) }, (_, k) => FIRST + (k * 60) / bpm);
    const found = clicks.filter((click) => beats.some((beat) => Math.abs(beat - click) < 0.02));
    expect(found.length).toBeGreaterThanOrEqual(clicks.length - 1);
    // Nothing tells whether a click is a beat or half of one: there are as many beats, or twice as many with the other as a doubt.
    const twice = beats.length > 1.5 * clicks.length;
    expect(Math.abs(beats.length - (twice ? 2 : 1) * clicks.length)).toBeLessThanOrEqual(2);
    const others = map.doubts.flatMap(({ other }) => other);
    const asked = others.some((lock) => lock.kind === 'tempo' && Math.abs(60 / lock.period - bpm) < 2);
    expect(asked).toBe(twice);
  },
);
