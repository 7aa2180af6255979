import { describe, expect, it } from 'vitest';
import { ANALYSIS_RATE } from '../../src/analysis/evidence/signal.js';
import { findKey, framesEvery } from '../../src/analysis/evidence/tonality.js';
import { loadEssentia } from '../../src/platform/worker/essentia-loader.js';

const FRAME = 4096;
const essentia = await loadEssentia();

/** Chords of F major with some noise, one after another, a third of a second each. */
function chords(length: number): Float32Array {
  const roots = [65, 70, 60, 62];
  let seed = 1;
  return Float32Array.from({ length }, (_, i) => {
    const root = roots[Math.floor((3 * i) / ANALYSIS_RATE) % 4]!;
    const notes = [root, root + (root === 62 ? 3 : 4), root + 7];
    seed = (seed * 16807) % 2147483647;
    const tone = notes.reduce(
      (sum, note) => sum + Math.sin((2 * Math.PI * i * 440 * 2 ** ((note - 69) / 12)) / ANALYSIS_RATE),
      0,
    );
    return 0.2 * tone + 0.02 * (seed / 1073741823.5 - 1);
  });
}

function extract(samples: Float32Array, hop: number): unknown {
  const vector = essentia.arrayToVector(samples);
  try {
    return essentia.KeyExtractor(
      vector,
      true,
      FRAME,
      hop,
      12,
      3500,
      60,
      25,
      0.2,
      'shaath',
      ANALYSIS_RATE,
      0.0001,
      440,
      'cosine',
      'hann',
    );
  } finally {
    vector.delete();
  }
}

describe('the key of a song', () => {
  it('is found in frames spread over the song exactly as in the whole song with a hop', () => {
    const strengths = new Set<number>();
    for (const every of [1, 2, 3, 10]) {
      for (const rest of [0, 1, FRAME / 2 - 1, FRAME / 2, FRAME / 2 + 1, FRAME - 1]) {
        const signal = chords(FRAME * 23 + rest);
        const whole = extract(signal, FRAME * every) as { strength: number };
        expect(extract(framesEvery(signal, every), FRAME), `every ${every}, rest ${rest}`).toEqual(whole);
        strengths.add(whole.strength);
      }
    }
    // Were the strengths all alike, the frames would make no difference.
    expect(strengths.size).toBeGreaterThan(5);
  });

  it('takes no more than some 330 frames of a long song', () => {
    for (const minutes of [1, 4, 20]) {
      const signal = new Float32Array(60 * minutes * ANALYSIS_RATE);
      let given = 0;
      findKey(signal, 0, {
        arrayToVector: (samples) => {
          given = samples.length;
          return { size: () => given, get: () => 0, delete: () => undefined };
        },
        KeyExtractor: () => ({ key: 'C', scale: 'major', strength: 0 }),
      });
      expect(given / FRAME).toBeGreaterThan(300 * Math.min(1, minutes));
      expect(given / FRAME).toBeLessThan(332);
    }
  });

  it('is that of its chords', () => {
    expect(findKey(chords(90 * ANALYSIS_RATE), 0, essentia)).toMatchObject({ tonic: 'F', mode: 'major' });
  });
});
