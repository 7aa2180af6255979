import { describe, expect, it } from 'vitest';
import { heardBeats } from '../../src/analysis/evidence/network/heard-beats.js';

describe('beats to show while the solver works', () => {
  const silent = new Float32Array(100);
  const bumps = (...at: [number, number][]): Float32Array => {
    const out = new Float32Array(100);
    for (const [frame, p] of at) out.set([p / 2, p, p / 2], frame - 1);
    return out;
  };

  it('are the clear peaks, with those where beat 1 is heard within two frames', () => {
    const beat = bumps([10, 0.9], [35, 0.8], [60, 0.3], [85, 0.5]);
    const downbeat = bumps([11, 0.7]);
    expect(heardBeats({ rate: 50, beat, downbeat, section: silent })).toEqual({ beats: [0.2, 0.7, 1.7], lines: [0.2] });
  });

  it('count a flat top and two peaks close together once', () => {
    const beat = Float32Array.from(silent);
    beat.set([0.6, 0.6, 0.6], 20);
    beat.set([0.7, 0, 0.9], 60);
    expect(heardBeats({ rate: 50, beat, downbeat: silent, section: silent }).beats).toEqual([0.4, 1.24]);
    expect(heardBeats({ rate: 50, beat: silent, downbeat: silent, section: silent }).beats).toEqual([]);
  });
});
