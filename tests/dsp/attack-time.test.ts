import { describe, expect, it } from 'vitest';
import { attackSums, attackTime } from '../../src/dsp/attack-time.js';
import { median } from '../../src/dsp/series.js';
import { seeded } from '../support/made-evidence.js';

/** The sound `t` seconds after it was struck. */
type Sound = (t: number, random: () => number) => number;

const tone = (hertz: number, t: number): number =>
  [1, 2, 3, 4].reduce((sum, h) => sum + Math.sin(2 * Math.PI * hertz * h * t + h) / h, 0) / 2;

/** A sound, how it swells (its rise lasts so many seconds) and how far off its attack may be found, in seconds. */
const SOUNDS: readonly { readonly name: string; readonly sound: Sound; readonly within: number }[] = [
  { name: 'click', sound: (t) => (t < 0.0005 ? 1 : 0), within: 0.001 },
  { name: 'snare', sound: (t, random) => (2 * random() - 1) * Math.exp(-t / 0.04), within: 0.001 },
  { name: 'string, plucked', sound: (t) => tone(196, t) * Math.min(1, t / 0.003) * Math.exp(-t / 0.4), within: 0.003 },
  { name: 'string, bowed', sound: (t) => tone(294, t) * Math.min(1, t / 0.03) * Math.exp(-t / 0.8), within: 0.01 },
];
const RATES = [8000, 22050, 44100, 48000];

/** Struck at each of `times` over faint noise; one held tone below it all. */
function strike(sound: Sound, times: readonly number[], seconds: number, rate: number): Float32Array {
  const random = seeded(3);
  const signal = Float32Array.from({ length: Math.ceil(seconds * rate) }, (_, i) => {
    return 0.02 * Math.sin((2 * Math.PI * 110 * i) / rate) + 0.001 * (random() - 0.5);
  });
  for (const time of times) {
    const first = Math.ceil(time * rate);
    for (let i = first; i < Math.min(signal.length, first + 0.4 * rate); i++)
      signal[i] = (signal[i] as number) + 0.4 * sound(i / rate - time, random);
  }
  return signal;
}

describe('the time of an attack', () => {
  describe.each(RATES)('at %i Hz', (rate) => {
    it.each(SOUNDS)('is where a $name begins, wherever it lies', ({ sound, within }) => {
      const random = seeded(rate);
      // Apart by more than they last, at any place between two samples.
      const times = Array.from({ length: 20 }, (_, i) => 0.4 + 0.6 * i + 0.1 * random());
      const sums = attackSums(strike(sound, times, 13, rate), rate);
      const errors = times.map((time) => {
        const off = 0.02 * (random() - 0.5);
        return attackTime(sums, time + off - 0.02, time + off + 0.02) - time;
      });
      expect(median(errors.map(Math.abs))).toBeLessThan(within);
      expect(Math.max(...errors.map(Math.abs))).toBeLessThan(2 * within + 0.001);
    });
  });

  it('is that of the stronger of two, and the first of two alike', () => {
    const click: Sound = (t) => (t < 0.0005 ? 1 : 0);
    const rate = 22050;
    const [soft, loud] = [strike((t) => 0.15 * click(t, () => 0), [1], 2, rate), strike(click, [1.018], 2, rate)];
    const both = attackSums(
      soft.map((x, i) => x + (loud[i] as number)),
      rate,
    );
    expect(attackTime(both, 0.985, 1.03)).toBeCloseTo(1.018, 2);
  });

  it('stays inside a signal that ends, and in silence lies between the two times', () => {
    const sums = attackSums(new Float32Array(2205), 22050);
    const time = attackTime(sums, 0.08, 0.12);
    expect(time).toBeGreaterThanOrEqual(0.05);
    expect(time).toBeLessThanOrEqual(0.12);
    expect(attackTime(attackSums(new Float32Array(0), 22050), 0, 0.01)).toBe(0);
  });
});
