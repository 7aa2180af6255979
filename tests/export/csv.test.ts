import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barsCsv, beatsCsv } from '../../src/export/csv.js';
import { barEnd, barsOf, beatTimes } from '../../src/model/map-queries.js';
import { beatsOf } from '../../src/music/meter.js';
import { mapArbitrary } from '../support/arbitraries.js';
import { bars } from '../support/notation.js';
import { runs } from '../support/runs.js';

/** Rows by column, read by csv-parse, which refuses rows of different lengths and stray quotes (RFC 4180). */
function rows(text: string): Record<string, string>[] {
  return parse(text, { columns: true, record_delimiter: '\r\n' });
}

describe('bars as CSV', () => {
  it('writes a row a bar', () => {
    const found = rows(barsCsv(bars('- Verse: (1) 4:G,C@3 3.5 | Chorus: 6/8:A:min7')));
    expect(found.map((row) => [row.bar, row.kind, row.beats, row['time signature'], row.section, row.chords])).toEqual([
      ['0', 'pickup', '1', '1/4', 'Verse', ''],
      ['1', 'bar', '4', '4/4', 'Verse', 'G C@3'],
      ['2', 'bar', '3.5', '7/8', 'Verse', ''],
      ['3', 'bar', '2', '6/8', 'Chorus', 'Am7'],
    ]);
    expect(found[1]).toMatchObject({ start: '1.000000', end: '3.000000', tempo: '120.00', confidence: '0.900' });
  });

  it('gives every bar of any map back', () => {
    fc.assert(
      fc.property(mapArbitrary(), (map) => {
        const found = rows(barsCsv(map)).map((row) => [Number(row.start), Number(row.end), Number(row.beats)]);
        const micro = (time: number): number => Number(time.toFixed(6));
        const wanted = barsOf(map).map((bar, i) => [micro(bar.start), micro(barEnd(map, i)), beatsOf(bar.meter)]);
        expect(found).toEqual(wanted);
      }),
      { numRuns: runs(40) },
    );
  });

  it('keeps a spreadsheet from taking a name for a formula', () => {
    const map = bars('Verse: 4');
    const [section] = map.sections;
    const named = { ...map, sections: [{ ...section!, name: '=1+1' }] };
    expect(rows(barsCsv(named))[0]?.section).toBe("'=1+1");
  });
});

describe('beats as CSV', () => {
  it('counts 1 on bar lines alone', () => {
    fc.assert(
      fc.property(mapArbitrary(), (map) => {
        const found = rows(beatsCsv(map));
        expect(found.map((row) => Number(row.time))).toEqual(beatTimes(map).map((time) => Number(time.toFixed(6))));
        const lines = found.filter((row) => row.beat === '1').map((row) => Number(row.time));
        const wanted = barsOf(map).flatMap((bar) => (bar.pickup ? [] : [Number(bar.start.toFixed(6))]));
        expect(lines).toEqual(wanted);
      }),
      { numRuns: runs(40) },
    );
  });

  it('counts a pickup up to the bar after it and names the chord that sounds', () => {
    const found = rows(beatsCsv(bars('(1) 2:G,C@2 2')));
    expect(found.map((row) => `${row.bar}:${row.beat} ${row.chord}`)).toEqual([
      '0:2 ',
      '1:1 G',
      '1:2 C',
      '2:1 C',
      '2:2 C',
    ]);
  });
});
