import { parse } from 'csv-parse/sync';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barsCsv, beatsCsv } from '../../src/export/csv.js';
import { barEnd, barsOf, beatTimes } from '../../src/model/map-queries.js';
import { beatsOf } from '../../src/music/meter.js';
import { readTimes } from '../../src/project/import/read-times.js';
import { mapArbitrary } from '../support/arbitraries.js';
import { bars } from '../support/notation.js';
import { runs } from '../support/runs.js';

/**
 * Rows by column, read by csv-parse, which refuses rows of different lengths and stray quotes (RFC 4180), and takes the
 * byte-order mark for what it is.
 */
function rows(text: string): Record<string, string>[] {
  return parse(new TextEncoder().encode(text) as Buffer, { columns: true, record_delimiter: '\r\n', bom: true });
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
        const found = rows(barsCsv(map))
          .filter(({ kind }) => kind !== 'free')
          .map((row) => [Number(row.start), Number(row.end), Number(row.beats)]);
        const micro = (time: number): number => Number(time.toFixed(6));
        const wanted = barsOf(map).map((bar, i) => [micro(bar.start), micro(barEnd(map, i)), beatsOf(bar.meter)]);
        expect(found).toEqual(wanted);
      }),
      { numRuns: runs(40) },
    );
  });

  it('has a row for each stretch without a steady beat, in its place', () => {
    const notated = bars('Verse: 4:G ~6 4');
    const inFree = { time: 3, harte: 'A:min', origin: 'user', confidence: 1 } as const;
    const map = { ...notated, chords: [...notated.chords, inFree] };
    const found = rows(barsCsv(map)).map(({ bar, kind, start, end, beats, tempo, section, chords }) => [
      bar,
      kind,
      start,
      end,
      beats,
      tempo,
      section,
      chords,
    ]);
    expect(found).toEqual([
      ['1', 'bar', '0.000000', '2.000000', '4', '120.00', 'Verse', 'G'],
      ['', 'free', '2.000000', '5.000000', '', '', 'Verse', 'G Am'],
      ['2', 'bar', '5.000000', '7.000000', '4', '120.00', 'Verse', ''],
    ]);
    const { barLines } = readTimes(new TextEncoder().encode(barsCsv(map)), 10);
    expect(barLines).toEqual([0, 5, 7]);
  });

  it('of any map has as many rows as there are bars and free stretches, times unbroken where the map is', () => {
    fc.assert(
      fc.property(mapArbitrary(), (map) => {
        const found = rows(barsCsv(map));
        const wanted = map.spans.filter(({ kind }) => kind === 'bar' || kind === 'free');
        expect(found.map(({ start }) => Number(start))).toEqual(wanted.map(({ start }) => Number(start.toFixed(6))));
        found.slice(1).forEach(({ start }, i) => expect(found[i]!.end).toBe(start));
      }),
      { numRuns: runs(40) },
    );
  });

  it('begins with the mark of UTF-8, by which spreadsheets read what is not English', () => {
    // RFC 3629, 6; without it they take the file for one of their own country's code page.
    const map = { ...bars('A: 4'), sections: bars('A: 4').sections.map((one) => ({ ...one, name: 'Strophe ä' })) };
    for (const text of [barsCsv(map), beatsCsv(map)]) {
      expect([...new TextEncoder().encode(text).subarray(0, 3)]).toEqual([0xef, 0xbb, 0xbf]);
      expect(rows(text)[0]).toMatchObject({ bar: '1', section: 'Strophe ä' });
      expect(text.indexOf('\uFEFF', 1)).toBe(-1);
    }
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
    expect(found.map(({ kind }) => kind)).toEqual(['pickup', 'bar', 'bar', 'bar', 'bar']);
    expect(found.map((row) => `${row.bar}:${row.beat} ${row.chord}`)).toEqual([
      '0:2 ',
      '1:1 G',
      '1:2 C',
      '2:1 C',
      '2:2 C',
    ]);
  });
});
