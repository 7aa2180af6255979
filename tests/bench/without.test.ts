import { describe, expect, it } from 'vitest';
import { beatFeatures } from '../../src/analysis/evidence/features/beat-features.js';
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { madeBeats, madeEvidence } from '../support/made-evidence.js';
import { evidenceWithout, partsOf, optionsWithout } from './without.js';

const beats = madeBeats(Array<number>(12).fill(4), 0.5);
const made = madeEvidence(beats, { duration: 26 });
const heard = { rate: 50, width: 1, data: new Uint8Array(1300).fill(9) };
const evidence: Evidence = { ...made, tracks: { ...made.tracks, heardBeat: heard, heardDownbeat: heard } };

describe('leaving out parts of the analysis', () => {
  it('takes the names of parts, one a word or several', () => {
    expect(partsOf(['network', 'harmony,repetition'])).toEqual(['network', 'harmony', 'repetition']);
    expect(() => partsOf(['drums'])).toThrow(/network, repetition, harmony/);
  });

  it('leaves the evidence as it is without being told', () => {
    expect(evidenceWithout(evidence, []).tracks).toBe(evidence.tracks);
  });

  it('takes out all that the network hears', () => {
    const { tracks } = evidenceWithout(evidence, ['network']);
    expect(Object.keys(tracks).filter((name) => name.startsWith('heard'))).toEqual([]);
    expect(tracks.chroma).toBe(evidence.tracks.chroma);
  });

  it('takes out every change of harmony and keeps the attacks', () => {
    const times = beats.map(({ time }) => time);
    const before = beatFeatures(evidence, times, 24.5);
    const after = beatFeatures(evidenceWithout(evidence, ['harmony']), times, 24.5);
    expect(Math.max(...before.chordChange)).toBeGreaterThan(0.3);
    expect(Math.max(...after.chordChange, ...after.bassChange)).toBe(0);
    expect(after.accents).toEqual(before.accents);
    // 0.4 of the low attack, as rhythmTracks mixes it.
    expect(after.downbeat[4]).toBeCloseTo(0.4 * (before.accents[4 * 10] as number), 2);
  });

  it('tells the solver what is no track of the evidence', () => {
    expect(optionsWithout(['network', 'harmony'])).toEqual({});
    expect(optionsWithout(['repetition'])).toEqual({ without: ['repetition'] });
    expect(evidenceWithout(evidence, ['repetition']).tracks).toBe(evidence.tracks);
  });
});
