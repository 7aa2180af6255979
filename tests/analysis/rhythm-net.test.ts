import { describe, expect, it } from 'vitest';
import { hearRhythm } from '../../src/analysis/evidence/network/rhythm-net.js';
import { logMel, MEL_BANDS } from '../../src/dsp/log-mel.js';
import { loadFfts } from '../../src/platform/worker/fft-loader.js';
import { loadRhythmNet } from '../../src/platform/worker/network-loader.js';

const RATE = 22050;
const ffts = await loadFfts();

/** Decaying bursts of noise every `period` s, each fourth with a low thud. */
function pulses(seconds: number, period: number, first: number): Float32Array {
  const signal = new Float32Array(seconds * RATE);
  let seed = 1;
  const noise = (): number => (seed = (seed * 16807) % 2147483647) / 1073741823.5 - 1;
  for (let n = 0; first + n * period < seconds; n++) {
    const start = Math.round((first + n * period) * RATE);
    for (let i = 0; i < 4000 && start + i < signal.length; i++) {
      const fade = Math.exp(-i / 600);
      const thud = n % 4 === 0 ? Math.sin((2 * Math.PI * 60 * i) / RATE) * Math.exp(-i / 2500) : 0;
      signal[start + i] = (signal[start + i] as number) + 0.2 * noise() * fade + 0.6 * thud;
    }
  }
  return signal;
}

describe('what the rhythm network hears', () => {
  it('has the level of its training whatever the level of the signal', () => {
    const signal = pulses(6, 0.5, 0.2);
    const loud = logMel(signal, RATE, ffts);
    const soft = logMel(
      signal.map((x) => x * 0.01),
      RATE,
      ffts,
    );
    expect(loud.frames).toBe(301);
    expect(loud.data.length).toBe(301 * MEL_BANDS);
    soft.data.forEach((value, i) => expect(value).toBeCloseTo(loud.data[i] as number, 3));
    const mean = loud.data.reduce((sum, x) => sum + Math.expm1(x) ** 2, 0) / loud.data.length;
    expect(Math.sqrt(mean)).toBeCloseTo(300 * 0.02, 2);
  });

  it('is the same in pieces as in the whole song at once', async () => {
    const net = await loadRhythmNet();
    const mel = logMel(pulses(50, 0.5, 0.2), RATE, ffts);
    const heard = await hearRhythm(mel, net);
    const whole = await net.song(await net.front(mel.data, mel.frames), mel.frames);
    expect(heard.beat.length).toBe(2501);
    expect(whole.length).toBe(3 * 2501);
    heard.beat.forEach((p, i) =>
      expect([p, heard.downbeat[i], heard.section[i]]).toEqual([...whole.subarray(3 * i, 3 * i + 3)]),
    );
  });

  it('is clear on a plain pulse: high on the beats, low between them', async () => {
    const net = await loadRhythmNet();
    const heard = await hearRhythm(logMel(pulses(40, 0.5, 0.2), RATE, ffts), net);
    const at = (time: number): number =>
      Math.max(...heard.beat.slice(Math.round(time * 50) - 2, Math.round(time * 50) + 3));
    let on = 0;
    let off = 0;
    for (let n = 10; n < 70; n++) {
      on += at(0.2 + n * 0.5) / 60;
      off += at(0.45 + n * 0.5) / 60;
    }
    expect(on).toBeGreaterThan(0.8);
    expect(off).toBeLessThan(0.2);
  });
});
