import fc from 'fast-check';
import { expect, it } from 'vitest';
import { beatFeatures } from '../../src/analysis/evidence/features/beat-features.js';
import { flatEvidence } from '../support/songs.js';

it('no change of harmony is below 0 while one chord rings, louder and softer', () => {
  const profile = fc.array(fc.integer({ min: 0, max: 63 }), { minLength: 12, maxLength: 12 });
  fc.assert(
    fc.property(profile, (chord) => {
      const evidence = flatEvidence(8);
      const { chroma } = evidence.tracks;
      // Ten frames a second, two beats a second.
      const data = chroma.data.map((_, i) => (1 + (Math.floor(i / 12 / 5) % 4)) * (chord[i % 12] as number));
      const times = Array.from({ length: 14 }, (_, i) => 0.5 + i / 2);
      const { chordChange } = beatFeatures(
        { ...evidence, tracks: { ...evidence.tracks, chroma: { ...chroma, data } } },
        times,
        8,
      );
      expect(Math.min(...chordChange)).toBeGreaterThanOrEqual(0);
    }),
  );
});
