import { describe, expect, it } from 'vitest';
import { ACCENT_PITCH, BEAT_PITCH, CLICK_LENGTH, clickSound } from '../../src/dsp/click.js';

const RATES = [8000, 22050, 44100, 48000, 96000];

/** Power of one frequency in the sound (Goertzel 1958). */
function power(sound: Float32Array, sampleRate: number, hertz: number): number {
  const turn = 2 * Math.cos((2 * Math.PI * hertz) / sampleRate);
  let [a, b] = [0, 0];
  for (const sample of sound) [a, b] = [sample + turn * a - b, a];
  return a * a + b * b - turn * a * b;
}

describe('the click', () => {
  it.each(RATES)('starts and ends at zero and never leaves -1 to 1, at %i Hz', (rate) => {
    for (const pitch of [ACCENT_PITCH, BEAT_PITCH]) {
      const sound = clickSound(rate, pitch);
      expect(sound).toHaveLength(Math.round(CLICK_LENGTH * rate));
      expect(sound[0]).toBe(0);
      expect(Math.abs(sound.at(-1)!)).toBeLessThan(1e-3);
      expect(Math.max(...sound.map(Math.abs))).toBeCloseTo(0.9, 5);
    }
  });

  it.each(RATES)('is at half its peak within 1 ms, so that it is heard on the beat, at %i Hz', (rate) => {
    for (const pitch of [ACCENT_PITCH, BEAT_PITCH]) {
      const loud = clickSound(rate, pitch).findIndex((sample) => Math.abs(sample) > 0.45);
      expect(loud / rate).toBeLessThan(0.001);
    }
  });

  it('has another pitch on beat 1', () => {
    const [accent, beat] = [clickSound(44100, ACCENT_PITCH), clickSound(44100, BEAT_PITCH)];
    expect(power(accent, 44100, ACCENT_PITCH)).toBeGreaterThan(4 * power(accent, 44100, BEAT_PITCH));
    expect(power(beat, 44100, BEAT_PITCH)).toBeGreaterThan(4 * power(beat, 44100, ACCENT_PITCH));
  });

  it('refuses a rate at which it could not sound', () => {
    expect(() => clickSound(4000, BEAT_PITCH)).toThrow(/found a sample rate of 4000/);
  });
});
