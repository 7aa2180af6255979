import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { toJams } from '../../src/export/jams.js';
import type { SongMap } from '../../src/model/song-map.js';
import { applyEdit, editArbitrary, mapArbitrary } from '../support/arbitraries.js';
import { jamsFaults, type Jams } from '../support/jams-schema.js';
import { bars } from '../support/notation.js';
import { runs } from '../support/runs.js';

function parsed(map: SongMap): Jams {
  const value: unknown = JSON.parse(toJams(map).text);
  expect(jamsFaults(value)).toEqual([]);
  return value as Jams;
}

/** [time, duration, value] of the first annotation of a namespace. */
function rows(map: SongMap, namespace: string): [number, number, unknown][] {
  const found = parsed(map).annotations.find((annotation) => annotation.namespace === namespace);
  return (found?.data ?? []).map(({ time, duration, value }) => [time, duration, value]);
}

/** Beats as "measure:position/num_beats/beat_units". */
function beats(map: SongMap): string {
  return rows(map, 'beat_position')
    .map(([, , value]) => value as Record<string, number>)
    .map((v) => `${v.measure}:${v.position}/${v.num_beats}/${v.beat_units}`)
    .join(' ');
}

/** The map with all times multiplied, so that they are no round numbers. */
function slower(map: SongMap, ratio: number): SongMap {
  const at = (time: number): number => time * ratio;
  return {
    ...map,
    recording: { ...map.recording, duration: at(map.recording.duration) },
    start: at(map.start),
    end: at(map.end),
    spans: map.spans.map((span) =>
      span.kind === 'bar'
        ? { ...span, start: at(span.start), beats: span.beats.map(at) }
        : { ...span, start: at(span.start) },
    ),
    sections: map.sections.map((section) => ({ ...section, start: at(section.start) })),
    chords: map.chords.map((chord) => ({ ...chord, time: at(chord.time) })),
    locks: [],
    doubts: [],
  };
}

describe('a map as JAMS', () => {
  it('has schemas to be checked against, and they refuse what is wrong', () => {
    const file = (value: unknown): unknown => {
      const good = JSON.parse(toJams(bars('4:G 4')).text) as Jams;
      for (const { namespace, data } of good.annotations) if (namespace === 'chord' && data[0]) data[0].value = value;
      return good;
    };
    expect(jamsFaults(file('G:min7'))).toEqual([]);
    expect(jamsFaults(file('Gm'))).toEqual([expect.stringContaining('"value":"Gm"') as string]);
    expect(jamsFaults({ annotations: [{ namespace: 'chord', data: [] }] })).toHaveLength(1);
  });

  it('is valid for any map, whatever was done to it', () => {
    fc.assert(
      fc.property(mapArbitrary(), fc.array(editArbitrary(), { maxLength: 4 }), (map, edits) => {
        parsed(edits.reduce(applyEdit, map));
      }),
      { numRuns: runs(40) },
    );
  });

  it('has nothing that lasts into what follows, as a reader adds times', () => {
    fc.assert(
      fc.property(mapArbitrary(), fc.double({ min: 0.3, max: 3, noNaN: true }), (map, stretch) => {
        for (const { namespace, data, time, duration } of parsed(slower(map, stretch)).annotations) {
          data.forEach((one, i) => {
            const next = data[i + 1];
            if (next) expect(one.time + one.duration, namespace).toBeLessThanOrEqual(next.time);
            // Within the annotation, but for the rounding of its own end.
            expect(one.time + one.duration).toBeLessThanOrEqual(time! + duration! + 1e-9);
          });
        }
      }),
      { numRuns: runs(150) },
    );
  });

  it('has chords and sections that mir_eval takes', () => {
    // mir_eval.util.validate_intervals, mir_eval.chord.validate_chord_label and, for intervals that overlap,
    // mir_eval.chord.directional_hamming_distance (mir_eval 0.7; Raffel et al., ISMIR 2014): what they raise on.
    const label =
      /^((N|X)|(([A-G](b*|#*))((:(maj|min|dim|aug|1|5|sus2|sus4|maj6|min6|7|maj7|min7|dim7|hdim7|minmaj7|aug7|9|maj9|min9|11|maj11|min11|13|maj13|min13)(\((\*?((b*|#*)([1-9]|1[0-3]?))(,\*?((b*|#*)([1-9]|1[0-3]?)))*)\))?)|(:\((\*?((b*|#*)([1-9]|1[0-3]?))(,\*?((b*|#*)([1-9]|1[0-3]?)))*)\)))?((\/((b*|#*)([1-9]|1[0-3]?)))?)?))$/;
    let chords = 0;
    fc.assert(
      fc.property(mapArbitrary(), fc.double({ min: 0.3, max: 3, noNaN: true }), (map, stretch) => {
        const lasting = parsed(slower(map, stretch)).annotations.filter(({ namespace }) =>
          ['chord', 'segment_open'].includes(namespace),
        );
        for (const { namespace, data } of lasting) {
          const intervals = data.map(({ time, duration }) => [time, time + duration] as const);
          expect(intervals.every(([start, end]) => start >= 0 && end > start)).toBe(true);
          expect(intervals.slice(1).every(([start], i) => intervals[i]![1] <= start)).toBe(true);
          if (namespace !== 'chord') continue;
          expect(data.every(({ value }) => label.test(value as string))).toBe(true);
          chords += data.length;
        }
      }),
      { numRuns: runs(150) },
    );
    expect(chords).toBeGreaterThan(100);
  });

  it('names title and duration', () => {
    expect(parsed(bars('- 4 4 -', { title: 'Harbour Lights' })).file_metadata).toMatchObject({
      title: 'Harbour Lights',
      duration: 5,
    });
  });

  it('counts beats in their bars', () => {
    expect(beats(bars('4 2'))).toBe('1:1/4/4 1:2/4/4 1:3/4/4 1:4/4/4 2:1/2/4 2:2/2/4');
  });

  it('counts the beats of a pickup up to the end of the bar after it', () => {
    expect(beats(bars('(1) 3'))).toBe('0:3/3/4 1:1/3/4 1:2/3/4 1:3/3/4');
    expect(beats(bars('(0.5) 2'))).toBe('0:4/4/8 1:1/2/4 1:2/2/4');
    expect(beats(bars('(2) 2'))).toBe('0:2/3/4 0:3/3/4 1:1/2/4 1:2/2/4');
  });

  it('keeps half beats and dotted beats exact by counting the smaller unit', () => {
    expect(beats(bars('3.5 6/8'))).toBe('1:1/7/8 1:3/7/8 1:5/7/8 1:7/7/8 2:1/6/8 2:4/6/8');
    expect(beats(bars('7/8'))).toBe('1:1/7/8 1:2/7/8 1:3/7/8 1:4/7/8 1:5/7/8 1:6/7/8 1:7/7/8');
  });

  it('marks a bar line by position 1 and nothing else', () => {
    fc.assert(
      fc.property(mapArbitrary(), (map) => {
        const lines = rows(map, 'beat_position').filter(
          ([, , value]) => (value as { position: number }).position === 1,
        );
        const starts = map.spans.flatMap((span) => (span.kind === 'bar' && !span.pickup ? [span.start] : []));
        expect(lines.map(([time]) => time)).toEqual(starts);
      }),
      { numRuns: runs(40) },
    );
  });

  it('gives the tempo over all first and then bar by bar', () => {
    const map = bars('- 4 3', { beat: 0.6 });
    expect(rows(map, 'tempo')).toEqual([[0, 4.8, 100]]);
    const tempi = parsed(map).annotations.filter(({ namespace }) => namespace === 'tempo');
    expect(tempi.map(({ data }) => data.length)).toEqual([1, 2]);
  });

  it('gives sections from the first bar to the end of the last', () => {
    expect(rows(bars('- Verse: 4 4 | Chorus: 4 -2'), 'segment_open')).toEqual([
      [0.5, 4, 'Verse'],
      [4.5, 2, 'Chorus'],
    ]);
  });

  it('groups sections by material, and tags their strum and swing', () => {
    const map = bars('Verse: 4 4 | Chorus: 4 | Verse: 4');
    const strum = { parts: 2, strokes: 'd-dU-ud-' } as const;
    const sections = map.sections.map((section, i) => (i === 1 ? { ...section, strum, swing: 1.5 } : section));
    const groups = parsed({ ...map, sections }).annotations.filter(({ namespace }) => namespace === 'segment_open')[1];
    expect(groups?.data.map(({ time, value }) => [time, value])).toEqual([
      [0, 'A'],
      [4, 'B'],
      [6, 'A'],
    ]);
    expect(rows({ ...map, sections }, 'tag_open')).toEqual([
      [4, 2, 'strum d- dU -u d-'],
      [4, 2, 'swing 1.5:1'],
    ]);
    expect(rows(map, 'tag_open')).toEqual([]);
  });

  it('lets each chord last until the next, the last to the end of the last bar', () => {
    expect(rows(bars('4:G,C:maj/3@3 4 -2'), 'chord')).toEqual([
      [0, 1, 'G'],
      [1, 3, 'C:maj/3'],
    ]);
  });

  it('leaves out chords that the format cannot write, and says which', () => {
    const map = bars('4:G,H@2,D@3 4:H');
    expect(rows(map, 'chord')).toEqual([
      [0, 0.5, 'G'],
      [1, 1, 'D'],
    ]);
    expect(toJams(map).refused).toEqual(['H']);
    expect(toJams(bars('4:G')).refused).toEqual([]);
  });

  it('gives the key where there is one', () => {
    expect(rows(bars('4'), 'key_mode')).toEqual([]);
    const keyed: SongMap = { ...bars('4'), key: { tonic: 'F#', mode: 'minor', confidence: 0.7 } };
    expect(rows(keyed, 'key_mode')).toEqual([[0, 2, 'F#:minor']]);
  });
});
