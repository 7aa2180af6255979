import { describe, expect, it } from 'vitest';
import { hardSpots, hardSpotText } from '../../src/model/hard-spots.js';
import { shapeBook } from '../../src/model/strum-sounds.js';
import { TUNINGS } from '../../src/music/tuning.js';
import { bars } from '../support/notation.js';

const options = { shapeOf: shapeBook(TUNINGS[0]!), named: (harte: string) => harte };
const said = (notation: string, more: object = {}) => {
  const map = bars(notation);
  return hardSpots(map, { ...options, ...more }).map(
    (spot) => `${hardSpotText(map, spot)} [${spot.first} ${spot.last}]`,
  );
};

describe('hard spots', () => {
  it('are none where chords are easy and bars alike', () => {
    expect(said('4:C 4:A:min 4:F 4:C')).toEqual([]);
  });

  it('are bars of another length, with the bars around them to come from and go to', () => {
    expect(said('4:C 4 2 4 4')).toEqual(['bar 3: a bar of 2 beats [1 3]']);
    expect(said('4:C 4 2:F,C@2 4 4')[0]).toMatch(/^bar 3: .*a bar of 2 beats; two chords in it/);
  });

  it('are fast changes between distant shapes, and less so when they are slow', () => {
    const [fast] = said('4:C 4:E,C@3,E@4 4:C 4');
    expect(fast).toMatch(/^bar 2: .*E/);
    expect(said('4:C 4:E,C@3,E@4 4:C 4', { speed: 0.25 })).toEqual([]);
  });

  it('are bars in which a pass differs, and the worst comes first', () => {
    const differing = new Map([[5, 'pass 2 ends on D']]);
    expect(said('4:C 4 4 4 4 4 4 4 2 4', { differing })).toEqual([
      'bar 9: a bar of 2 beats [7 9]',
      'bar 6: pass 2 ends on D [4 6]',
    ]);
  });
});
