import { describe, expect, it } from 'vitest';
import { attackNear } from '../../src/analysis/beats/attack.js';
import { ONSET_BANDS, frameCount } from '../../src/analysis/evidence/evidence.js';
import { RHYTHM_RATE, rhythmTracks, type RhythmTracks } from '../../src/analysis/evidence/rhythm-evidence.js';
import { ANALYSIS_RATE } from '../../src/analysis/evidence/signal.js';
import { attackSpectra } from '../../src/dsp/attack-spectra.js';
import { median } from '../../src/dsp/series.js';
import { loadFfts } from '../../src/platform/worker/fft-loader.js';
import { seeded } from '../support/made-evidence.js';

const ffts = await loadFfts();

type Sound = (time: number, random: () => number) => number;

const SOUNDS: Readonly<Record<string, Sound>> = {
  click: (t) => (t < 0.0005 ? 1 : 0),
  snare: (t, random) => (2 * random() - 1) * Math.exp(-t / 0.04),
  kick: (t) => Math.sin(2 * Math.PI * (55 * t + 3 * (1 - Math.exp(-t / 0.03)))) * Math.exp(-t / 0.15),
  string: (t) => [1, 2, 3, 4].reduce((sum, h) => sum + Math.sin(2 * Math.PI * 196 * h * t) / h, 0) * Math.exp(-t / 0.3),
};

/** The sound at each of `times` over faint noise. */
function strike(sound: Sound, times: readonly number[], seconds: number): Float32Array {
  const random = seeded(5);
  const signal = new Float32Array(seconds * ANALYSIS_RATE);
  for (const time of times) {
    const first = Math.ceil(time * ANALYSIS_RATE);
    for (let i = first; i < Math.min(signal.length, first + 9000); i++) {
      signal[i] = (signal[i] as number) + 0.3 * sound(i / ANALYSIS_RATE - time, random);
    }
  }
  return signal.map((x) => x + 0.0003 * (random() - 0.5));
}

/** Without harmony: its change is another's. */
function tracksOf(signal: Float32Array): RhythmTracks {
  const { onsets } = attackSpectra(signal, ANALYSIS_RATE, RHYTHM_RATE, ffts);
  return rhythmTracks(signal, onsets, new Float32Array(onsets.frames));
}

describe('rhythm tracks', () => {
  it.each(Object.keys(SOUNDS))('put the peak of a %s on its attack', (name) => {
    const random = seeded(9);
    const times = Array.from({ length: 24 }, (_, i) => 0.6 + 0.51 * i + 0.02 * random());
    const tracks = tracksOf(strike(SOUNDS[name] as Sound, times, 14));
    const errors = times.map((time) => Math.abs(attackNear(time, tracks.beat, 0.035) - time));
    expect(median(errors)).toBeLessThan(0.003);
  });

  it('tell low from high, loud from soft', () => {
    const kick = tracksOf(strike(SOUNDS.kick as Sound, [1, 2, 3], 4));
    expect(frameCount(kick.onset)).toBe(frameCount(kick.beat));
    const band = (k: number): number => {
      let sum = 0;
      for (let i = 0; i < frameCount(kick.onset); i++) sum += kick.onset.data[i * ONSET_BANDS + k] as number;
      return sum;
    };
    expect(band(0)).toBeGreaterThan(0);
    const level = (time: number): number => kick.level.data[Math.round(time * kick.level.rate)] as number;
    expect(level(1.02)).toBeGreaterThan(level(0.5) + 50);
  });

  it('are empty where nothing sounds', () => {
    const silent = tracksOf(new Float32Array(6 * ANALYSIS_RATE));
    expect(Math.max(...silent.beat.data, ...silent.downbeat.data, ...silent.onset.data)).toBe(0);
  });
});
