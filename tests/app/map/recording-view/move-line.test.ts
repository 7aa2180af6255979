import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { beatTimes } from '../../../../src/model/map-queries.js';
import { moveTo } from '../../../../src/app/map/recording-view/move-line.js';
import { bars } from '../../../support/notation.js';

const map = bars('4 4 4 4');
const scale = { from: 0, span: 8, width: 800 };

/** Evidence with attacks at these times only. */
function attacksAt(times: readonly number[]) {
  const data = new Uint8Array(800 * 5);
  for (const time of times) data.fill(200, Math.round(time * 100) * 5, Math.round(time * 100) * 5 + 5);
  const track = { rate: 100, width: 5, data };
  const none = { rate: 100, width: 1, data: new Uint8Array(800) };
  const tracks = { beat: none, downbeat: none, onset: track, level: none, chroma: none, bass: none, timbre: none };
  return { version: '1', duration: 8, tuning: 0, tracks };
}

describe('a dragged beat line', () => {
  it('goes where it is dragged', () => {
    expect(moveTo({ map, evidence: attacksAt([]) }, scale, 2, 215)).toBeCloseTo(2.15, 9);
  });

  it('takes the attack that is near on the screen, not one that is near in time only', () => {
    const song = { map, evidence: attacksAt([2.15]) };
    expect(moveTo(song, scale, 2, 211)).toBeCloseTo(2.15, 9);
    expect(moveTo(song, { from: 1.5, span: 1, width: 800 }, 2, 488)).toBeCloseTo(2.11, 9);
  });

  it('stays between the beats beside it wherever it is dragged', () => {
    const beats = beatTimes(map);
    fc.assert(
      fc.property(fc.integer({ min: 0, max: beats.length - 1 }), fc.integer({ min: -200, max: 1000 }), (i, x) => {
        const moved = moveTo({ map, evidence: attacksAt([]) }, scale, beats[i] ?? 0, x);
        expect(moved).toBeGreaterThanOrEqual(map.start);
        expect(moved).toBeGreaterThan((beats[i - 1] ?? -1) + 0.09);
        expect(moved).toBeLessThan((beats[i + 1] ?? map.end) - 0.09);
      }),
    );
  });
});
