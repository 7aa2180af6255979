import { describe, expect, it } from 'vitest';
import { attackSpectra } from '../../src/dsp/attack-spectra.js';
import { logMel } from '../../src/dsp/log-mel.js';
import { peakGatherer } from '../../src/dsp/spectral-peaks.js';
import { spectrometer } from '../../src/dsp/spectrum.js';
import { tuningOf } from '../../src/dsp/tuning.js';
import { loadFfts } from '../../src/platform/worker/fft-loader.js';
import { seeded } from '../support/made-evidence.js';

const RATE = 22050;
const ffts = await loadFfts();

function noise(length: number): Float32Array {
  const random = seeded(11);
  return Float32Array.from({ length }, () => random() - 0.5);
}

/** Magnitude of bin k of a Hann-windowed frame by the definition of the discrete Fourier transform. */
function magnitude(signal: Float32Array, first: number, size: number, k: number): number {
  let re = 0;
  let im = 0;
  for (let i = 0; i < size; i++) {
    const x = (signal[first + i] ?? 0) * (0.5 - 0.5 * Math.cos((2 * Math.PI * i) / size));
    re += x * Math.cos((2 * Math.PI * k * i) / size);
    im -= x * Math.sin((2 * Math.PI * k * i) / size);
  }
  return (4 / size) * Math.hypot(re, im);
}

describe('a spectrometer', () => {
  it.each([64, 1024, 8192])('of %i samples gives what the definition gives, at the ends too', (size) => {
    const signal = noise(3 * size);
    const { at, bins } = spectrometer(size, ffts);
    expect(bins).toBe(size / 2 + 1);
    for (const centre of [0, 1.5 * size + 0.4, 3 * size]) {
      const spectrum = at(signal, centre);
      for (const k of [0, 1, 2, size / 8 + 1, size / 2 - 1, size / 2])
        expect(spectrum[k]).toBeCloseTo(magnitude(signal, Math.round(centre) - size / 2, size, k), 5);
    }
  });

  it('shows a full-scale sine as about 1', () => {
    const signal = Float32Array.from({ length: 4096 }, (_, i) => Math.sin((2 * Math.PI * 64 * i) / 1024));
    const spectrum = spectrometer(1024, ffts).at(signal, 2048);
    expect(spectrum[64]).toBeCloseTo(1, 3);
  });

  it('refuses a size that is no power of two', () => {
    expect(() => spectrometer(1000, ffts)).toThrow('power of two');
    expect(() => spectrometer(32, ffts)).toThrow('at least 64');
  });
});

describe('onsets and log-mel from the same spectra', () => {
  it.each([22050, 12345, 22051, 300])('are those each would make of %i samples by itself', (length) => {
    const signal = noise(length);
    const { onsets, mel } = attackSpectra(signal, RATE, 100, ffts);
    const alone = logMel(signal, RATE, ffts);
    expect(mel.frames).toBe(alone.frames);
    expect(mel.data).toEqual(alone.data);
    expect(onsets.frames).toBe(Math.floor((length / RATE) * 100) + 1);
    for (const band of onsets.bands) expect(band.length).toBe(onsets.frames);
  });

  it('have to be frames of one another', () => {
    expect(() => attackSpectra(noise(100), RATE, 75, ffts)).toThrow('multiple of 50');
  });
});

describe('peaks and tuning', () => {
  it.each([0, 12, -31, 49])('finds tones %i cents off A440, in noise', (cents) => {
    const hertz = [220, 277.1826, 329.6276, 440].map((f) => f * 2 ** (cents / 1200));
    const hiss = noise(RATE * 4);
    const signal = hiss.map((x, i) => {
      return hertz.reduce((sum, f) => sum + 0.2 * Math.sin((2 * Math.PI * f * i) / RATE), 0.02 * x);
    });
    const { at } = spectrometer(8192, ffts);
    const gatherer = peakGatherer(30, RATE / 8192, 80, 4000);
    for (let i = 0; i < 30; i++) gatherer.add(at(signal, 8192 + i * 2205));
    const peaks = gatherer.finish();
    expect(tuningOf(peaks)).toBeCloseTo(cents, -0.3);
    const largest = [...peaks.magnitudes.keys()].slice(0, peaks.starts[1]);
    largest.sort((a, b) => (peaks.magnitudes[b] as number) - (peaks.magnitudes[a] as number));
    const found = largest.slice(0, 4).map((p) => peaks.pitches[p] as number);
    const expected = [57, 61, 64, 69].map((pitch) => pitch + cents / 100);
    found
      .sort((a, b) => a - b)
      .forEach((pitch, i) => expect(Math.abs(pitch - (expected[i] as number))).toBeLessThan(0.05));
  });

  it('keep all frames apart, however many peaks there are', () => {
    const gatherer = peakGatherer(3, 1, 0, 5000);
    const spectrum = Float32Array.from({ length: 4097 }, (_, k) => (k % 2 === 0 ? 1 : 0.1));
    for (let i = 0; i < 3; i++) gatherer.add(i === 1 ? new Float32Array(4097) : spectrum);
    const { starts, magnitudes } = gatherer.finish();
    expect([...starts]).toEqual([0, 2047, 2047, 4094]);
    expect(magnitudes.every((value) => value === 1)).toBe(true);
    expect(tuningOf(peakGatherer(0, 1, 0, 100).finish())).toBe(0);
  });
});
