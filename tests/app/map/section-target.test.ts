import { describe, expect, it } from 'vitest';
import { sectionTargetOf } from '../../../src/app/map/section-target.js';
import { bars } from '../../support/notation.js';

describe('what the section tools are about', () => {
  // Bars start at 1.5, 3.5, 5.5 (verse), 7.5, 9.5 (chorus).
  const map = bars('-2 Verse: (1) 4 4 4 | Chorus: 4 4 -4');

  it('is the section at the cursor', () => {
    const target = sectionTargetOf(map, 9.6, undefined);
    expect(target).toMatchObject({ first: 4, last: 5, bars: 'bars 4–5', suggested: true, splitAt: 5 });
    expect([target?.previous?.name, target?.next?.name]).toEqual(['Verse', undefined]);
    expect(sectionTargetOf(map, 2, undefined)?.bars).toBe('bars 0–3');
  });

  it('cannot be split where it begins', () => {
    expect(sectionTargetOf(map, 7.5, undefined)?.splitAt).toBeUndefined();
    expect(sectionTargetOf(map, 0, undefined)?.splitAt).toBeUndefined();
  });

  it('offers names for several selected bars that are not yet a section', () => {
    expect(sectionTargetOf(map, 3.5, { first: 2, last: 3 })?.chosen).toEqual({ first: 2, last: 3, text: 'bars 2–3' });
    expect(sectionTargetOf(map, 3.5, { first: 2, last: 2 })?.chosen).toBeUndefined();
    expect(sectionTargetOf(map, 9.5, { first: 4, last: 5 })?.chosen).toBeUndefined();
  });

  it('is none without sections', () => {
    expect(sectionTargetOf({ ...map, sections: [] }, 3.5, undefined)).toBeUndefined();
  });
});
