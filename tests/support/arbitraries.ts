import fc from 'fast-check';
import * as barEdits from '../../src/model/edits/bars.js';
import * as beatEdits from '../../src/model/edits/beats.js';
import { setChords } from '../../src/model/edits/chords.js';
import { setEdge } from '../../src/model/edits/edge.js';
import { doubleTempo, halveTempo } from '../../src/model/edits/level.js';
import { liftLock } from '../../src/model/edits/lift.js';
import { EditProblem } from '../../src/model/edits/problem.js';
import * as sectionEdits from '../../src/model/edits/sections.js';
import { shiftBarLines } from '../../src/model/edits/shift.js';
import { barsOf, beatTimes } from '../../src/model/map-queries.js';
import type { SongMap } from '../../src/model/song-map.js';
import { parseMeter } from '../../src/music/meter.js';
import { bars } from './notation.js';

/** Random maps in the notation: bars of many lengths, sections, chords, sometimes pickup, free time, lead-in and tail. */
export function notationArbitrary(): fc.Arbitrary<string> {
  const measure = fc.oneof(
    { weight: 8, arbitrary: fc.constant('4') },
    { weight: 4, arbitrary: fc.constantFrom('2', '3', '5', '6', '1') },
    { weight: 2, arbitrary: fc.constantFrom('7/8', '7/8(2+2+3)', '6/8', '3.5', '0.5') },
  );
  const chord = fc.constantFrom('', '', ':G', ':C,G:7@1.25', ':A:min7');
  const bar = fc.tuple(measure, chord).map(([length, chords]) => length + chords);
  const link = fc.oneof(
    { weight: 8, arbitrary: fc.constant('') },
    { weight: 2, arbitrary: fc.constantFrom('|', '| Verse:', '| Chorus:', '| Verse_2:') },
    { weight: 1, arbitrary: fc.constantFrom('~', '~2', '~ (1)') },
  );
  return fc
    .record({
      leadIn: fc.constantFrom('', '', '-2'),
      pickup: fc.constantFrom('', '', '(1)', '(2)'),
      first: bar,
      rest: fc.array(fc.tuple(link, bar), { maxLength: 14 }),
      tail: fc.constantFrom('', '', '-3'),
    })
    .map(({ leadIn, pickup, first, rest, tail }) =>
      [leadIn, pickup, first, ...rest.map(([before, after]) => `${before} ${after}`), tail].join(' ').trim(),
    );
}

/** Random sound maps; all beats last 0.5 s. */
export function mapArbitrary(): fc.Arbitrary<SongMap> {
  return notationArbitrary().map((notation) => bars(notation));
}

/** An edit by name, with shares of the way (0 to 1) that are turned into places of whatever map it meets. */
export interface RandomEdit {
  readonly name: keyof typeof EDITS;
  readonly a: number;
  readonly b: number;
  readonly n: number;
}

export function editArbitrary(names: readonly RandomEdit['name'][] = EDIT_NAMES): fc.Arbitrary<RandomEdit> {
  // Evenly spread: small numbers would mean the first bar nearly always.
  const share = fc.noBias(fc.integer({ min: 0, max: 999 })).map((n) => n / 1000);
  return fc.record({ name: fc.constantFrom(...names), a: share, b: share, n: fc.integer({ min: 1, max: 7 }) });
}

/** The map after the edit; the map itself when the edit says why it cannot be made. Any other error is a bug. */
export function applyEdit(map: SongMap, edit: RandomEdit): SongMap {
  try {
    return EDITS[edit.name](map, edit);
  } catch (error) {
    if (error instanceof EditProblem) return map;
    throw error;
  }
}

const barAt = (map: SongMap, share: number): number => Math.floor(share * Math.max(1, barsOf(map).length));
const beatAt = (map: SongMap, share: number): number => beatTimes(map)[Math.floor(share * beatTimes(map).length)] ?? 0;
const timeAt = (map: SongMap, share: number): number => map.start + share * (map.end - map.start);
const sectionAt = (map: SongMap, share: number): string =>
  map.sections[Math.floor(share * map.sections.length)]?.id ?? '';
const lockAt = (map: SongMap, share: number): string => map.locks[Math.floor(share * map.locks.length)]?.id ?? '';
const NAMES = ['Verse', 'Chorus', 'Bridge', 'Verse 2', 'Tag', 'Solo', 'Outro'];
const METERS = ['4/4', '3/4', '6/8', '7/8 (2+2+3)', '2/4', '5/4', '12/8'];

function taps(map: SongMap, { a, b, n }: RandomEdit): [number[], number[]] {
  const from = timeAt(map, Math.min(a, b));
  const to = timeAt(map, Math.max(a, b));
  const beats = beatTimes(map)
    .filter((time) => time >= from && time <= to)
    .map((time, i) => time + ((i * 7) % 5) * 0.01);
  return [beats, n > 3 ? beats.filter((_, i) => i % n === 0) : []];
}

const EDITS = {
  setDownbeat: (map: SongMap, { a }: RandomEdit) => barEdits.setDownbeat(map, beatAt(map, a)),
  toggleDownbeat: (map: SongMap, { a }: RandomEdit) => barEdits.toggleDownbeat(map, beatAt(map, a)),
  setBarBeats: (map: SongMap, { a, n }: RandomEdit) => barEdits.setBarBeats(map, barAt(map, a), n === 7 ? 3.5 : n),
  setBarMeter: (map: SongMap, { a, n }: RandomEdit) =>
    barEdits.setBarMeter(map, barAt(map, a), parseMeter(METERS[n - 1] ?? '4/4')),
  lockBar: (map: SongMap, { a }: RandomEdit) => barEdits.lockBar(map, barAt(map, a)),
  setMeter: (map: SongMap, { a, b, n }: RandomEdit) =>
    barEdits.setMeter(
      map,
      timeAt(map, Math.min(a, b)),
      timeAt(map, Math.max(a, b)),
      parseMeter(METERS[n - 1] ?? '4/4'),
    ),
  moveBeat: (map: SongMap, { a, b }: RandomEdit) =>
    beatEdits.moveBeat(map, beatAt(map, a), beatAt(map, a) + b * 0.6 - 0.3),
  addBeat: (map: SongMap, { a }: RandomEdit) => beatEdits.addBeat(map, timeAt(map, a)),
  deleteBeat: (map: SongMap, { a }: RandomEdit) => beatEdits.deleteBeat(map, beatAt(map, a)),
  tapBeats: (map: SongMap, edit: RandomEdit) => beatEdits.tapBeats(map, ...taps(map, edit)),
  setFree: (map: SongMap, { a, b }: RandomEdit) => beatEdits.setFree(map, timeAt(map, a), timeAt(map, b)),
  setStart: (map: SongMap, { a }: RandomEdit) => setEdge(map, 'start', a * 0.3 * map.recording.duration),
  setEnd: (map: SongMap, { a }: RandomEdit) => setEdge(map, 'end', (1 - a * 0.3) * map.recording.duration),
  halveTempo: (map: SongMap) => halveTempo(map),
  doubleTempo: (map: SongMap) => doubleTempo(map),
  halvePart: (map: SongMap, { a, b }: RandomEdit) =>
    halveTempo(map, timeAt(map, Math.min(a, b)), timeAt(map, Math.max(a, b))),
  doublePart: (map: SongMap, { a, b }: RandomEdit) =>
    doubleTempo(map, timeAt(map, Math.min(a, b)), timeAt(map, Math.max(a, b))),
  shiftFrom: (map: SongMap, { a, n }: RandomEdit) => shiftBarLines(map, barAt(map, a), n > 3 ? 1 : -1),
  shiftAll: (map: SongMap, { n }: RandomEdit) => shiftBarLines(map, undefined, n > 3 ? 1 : -1),
  liftLock: (map: SongMap, { a }: RandomEdit) => liftLock(map, lockAt(map, a)),
  nameSection: (map: SongMap, { a, b, n }: RandomEdit) =>
    sectionEdits.nameSection(map, barAt(map, Math.min(a, b)), barAt(map, Math.max(a, b)), NAMES[n - 1] ?? 'Verse'),
  acceptSection: (map: SongMap, { a }: RandomEdit) => sectionEdits.acceptSection(map, sectionAt(map, a)),
  acceptAllSections: (map: SongMap) => sectionEdits.acceptAllSections(map),
  moveSectionEdge: (map: SongMap, { a, b }: RandomEdit) =>
    sectionEdits.moveSectionEdge(map, sectionAt(map, a), barAt(map, b)),
  splitSection: (map: SongMap, { a }: RandomEdit) => sectionEdits.splitSection(map, barAt(map, a)),
  mergeSections: (map: SongMap, { a, b }: RandomEdit) =>
    sectionEdits.mergeSections(map, sectionAt(map, a), sectionAt(map, b)),
  renameSection: (map: SongMap, { a, n }: RandomEdit) =>
    sectionEdits.renameSection(map, sectionAt(map, a), NAMES[n - 1] ?? 'Verse'),
  refuseSection: (map: SongMap, { a }: RandomEdit) => sectionEdits.refuseSection(map, sectionAt(map, a)),
  setSwing: (map: SongMap, { a, n }: RandomEdit) =>
    sectionEdits.setSwing(map, sectionAt(map, a), n > 4 ? undefined : 1 + n * 0.25),
  setChords: (map: SongMap, { a, n }: RandomEdit) =>
    setChords(
      map,
      barAt(map, a),
      n > 5 ? [] : n > 3 ? [{ beat: 0, harte: 'D' }] : [{ beat: 0.25 * n, harte: 'E:min' }],
    ),
};

export const EDIT_NAMES = Object.keys(EDITS) as readonly RandomEdit['name'][];
