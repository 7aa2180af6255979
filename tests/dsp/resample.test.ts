import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { resample, Resampler } from '../../src/dsp/resample.js';

const RATES = [8000, 11025, 16000, 22050, 32000, 44100, 48000, 88200, 96000, 176400, 192000];

function sine(rate: number, frequency: number, seconds: number, phase = 0.3): Float32Array {
  return Float32Array.from(
    { length: Math.round(rate * seconds) },
    (_, i) => 0.7 * Math.sin((2 * Math.PI * frequency * i) / rate + phase),
  );
}

/** Signal-to-error ratio in dB, the ends (where the signal begins and stops abruptly) left out. */
function snr(got: Float32Array, ideal: Float32Array, rate: number): number {
  const margin = Math.round(rate * 0.05);
  let signal = 0;
  let error = 0;
  for (let i = margin; i < Math.min(got.length, ideal.length) - margin; i++) {
    signal += ideal[i]! ** 2;
    error += (got[i]! - ideal[i]!) ** 2;
  }
  return 10 * Math.log10(signal / error);
}

function level(signal: Float32Array, rate: number): number {
  const margin = Math.round(rate * 0.05);
  let sum = 0;
  for (let i = margin; i < signal.length - margin; i++) sum += signal[i]! ** 2;
  return 10 * Math.log10(sum / (signal.length - 2 * margin) / (0.7 ** 2 / 2));
}

describe('resample', () => {
  it('makes of a sine the same sine at the other rate, in phase, at least 85 dB above the error', () => {
    for (const from of RATES) {
      for (const to of [22050, 44100, 48000]) {
        const edge = 0.9 * (Math.min(from, to) / 2);
        for (const frequency of [50, 997, edge]) {
          const got = resample(sine(from, frequency, 0.4), from, to);
          expect(snr(got, sine(to, frequency, 0.4), to), `${from} to ${to} Hz, ${frequency} Hz`).toBeGreaterThan(85);
        }
      }
    }
  });

  it('keeps what the lower rate cannot hold at least 80 dB down, and what folds back above nine tenths of its range', () => {
    for (const [from, to] of [
      [44100, 22050],
      [48000, 22050],
      [96000, 48000],
      [192000, 48000],
    ] as const) {
      for (const share of [1.1, 1.3, 1.7])
        if ((share * to) / 2 < from / 2)
          expect(level(resample(sine(from, (share * to) / 2, 0.4), from, to), to), `${from} ${share}`).toBeLessThan(
            -80,
          );
    }
  });

  it('leaves a click where it was, to a tenth of a millisecond', () => {
    for (const from of RATES) {
      for (const at of [0, 0.1, 0.23457]) {
        const click = new Float32Array(Math.round(from * 0.5));
        const index = Math.round(at * from);
        click[index] = 1;
        const got = resample(click, from, 22050);
        let best = 0;
        got.forEach((x, i) => (best = x > got[best]! ? i : best));
        // The nearest sample of 22050 Hz is up to 23 microseconds away.
        expect(Math.abs(best / 22050 - index / from), `${from} Hz, ${at} s`).toBeLessThan(0.0001);
      }
    }
  });

  it('gives the same samples however the signal is cut into pieces, and ceil(length x to / from) of them', () => {
    fc.assert(
      fc.property(
        fc.constantFrom(...RATES, 44056, 12345),
        fc.constantFrom(22050, 48000),
        fc.array(fc.integer({ min: 0, max: 3000 }), { minLength: 1, maxLength: 8 }),
        (from, to, pieces) => {
          const length = pieces.reduce((sum, piece) => sum + piece, 0);
          const signal = sine(from, 440, length / from).subarray(0, length);
          const resampler = new Resampler(from, to);
          const got: number[] = [];
          let start = 0;
          for (const piece of pieces) got.push(...resampler.push(signal.subarray(start, (start += piece))));
          got.push(...resampler.finish());
          expect(got.length).toBe(Math.ceil((signal.length * to) / from));
          if (from !== to) expect(got).toEqual([...resample(signal, from, to)]);
        },
      ),
      { numRuns: 40 },
    );
  });

  it('passes a constant without ripple', () => {
    const got = resample(new Float32Array(20000).fill(0.5), 48000, 22050).subarray(500, 8500);
    expect(Math.max(...got) - Math.min(...got)).toBeLessThan(1e-6);
  });

  it('refuses a rate that is no whole number of hertz', () => {
    expect(() => new Resampler(44100.5, 22050)).toThrow(/rate of 44100.5 Hz/);
    expect(() => new Resampler(44100, 0)).toThrow(/rate of 0 Hz/);
  });
});
