/**
 * The one door from the golden corpus to the program: all that its test needs of src is imported here, and what it compares
 * is the plain data that this file returns.
 */
import type { Evidence } from '../../src/analysis/evidence/evidence.js';
import { findPasses } from '../../src/analysis/passes/find-passes.js';
import { rhythmBase } from '../../src/analysis/rhythm-base.js';
import { readLocks } from '../../src/analysis/locks/rhythm-locks.js';
import { firstMap, solveMap } from '../../src/analysis/solve.js';
import { songPlan } from '../../src/analysis/meter/song-plan.js';
import { describeLock } from '../../src/model/describe-lock.js';
import { applyDrafts } from '../../src/model/edits/add-locks.js';
import { clearDownbeat, lockBar, setBarBeats, setBarMeter, setDownbeat, setMeter } from '../../src/model/edits/bars.js';
import { addBeat, deleteBeat, moveBeat, setFree, tapBeats } from '../../src/model/edits/beats.js';
import { setChords } from '../../src/model/edits/chords.js';
import { setEdge } from '../../src/model/edits/edge.js';
import { doubleTempo, halveTempo } from '../../src/model/edits/level.js';
import { liftLocks } from '../../src/model/edits/lift.js';
import { EditProblem } from '../../src/model/edits/problem.js';
import { nameSection, refuseSection, splitSection } from '../../src/model/edits/sections.js';
import { shiftBarLines } from '../../src/model/edits/shift.js';
import { check, checkLocks } from '../../src/model/invariants.js';
import {
  barName,
  barOf,
  barStartingAt,
  barsOf,
  beatTimes,
  nearestBar,
  sectionOfBar,
} from '../../src/model/map-queries.js';
import { differenceWords } from '../../src/model/pass-words.js';
import { sameValue } from '../../src/model/same-value.js';
import type { Recording, SongMap, Span } from '../../src/model/song-map.js';
import { beatsOf, meterText, parseMeter } from '../../src/music/meter.js';
import { solveAround } from '../../src/app/song/conflicts.js';
import { needsSolving } from '../../src/app/song/needs-solving.js';
import type { AnalyserPort } from '../../src/app/kit/ports.js';
import { Solver } from '../../src/app/song/solver.js';
import { editWords, type GoldenEdit } from './edits.js';
import type { LevelFact, MapFacts, SpanFact, StepFact } from './facts.js';

export type { Evidence, Recording, SongMap };

/** How many ways to count a song are written down, likeliest first. */
const LEVELS = 12;
/** How far, in seconds, the taps of a user miss the beats, in turn. */
const TAPS_OFF = [0.012, -0.008, 0.005, -0.015] as const;

/** A song that is solved and edited as the page does it. */
export interface OpenSong {
  readonly first: SongMap;
  readonly levels: readonly LevelFact[];
  /** Does one edit; `map` is the one before where it could not be done. */
  perform(map: SongMap, edit: GoldenEdit): Promise<{ readonly map: SongMap; readonly step: StepFact }>;
  facts(map: SongMap): MapFacts;
}

/** The first map of the evidence, and what can be done with it. */
export function openSong(evidence: Evidence, recording: Recording, title: string): OpenSong {
  const first = firstMap(evidence, recording, title);
  const port = {
    use: () => Promise.resolve(),
    solve: (map: SongMap) => Promise.resolve(solveMap(evidence, map)),
  } as Partial<AnalyserPort> as AnalyserPort;
  const solver = new Solver(port);
  return {
    first,
    levels: levelsOf(evidence),
    perform: (map, edit) => perform(solver, evidence, map, edit),
    facts: (map) => factsOf(evidence, map),
  };
}

async function perform(
  solver: Solver,
  evidence: Evidence,
  before: SongMap,
  edit: GoldenEdit,
): Promise<{ readonly map: SongMap; readonly step: StepFact }> {
  const edited = editWords(edit, (at) => {
    const bar = nearestBar(before, at);
    return bar === undefined ? `${at} s` : barName(before, bar);
  });
  let change = (map: SongMap): SongMap => changed(map, edit);
  let inTheWay: readonly string[] = [];
  try {
    const after = change(before);
    if (sameValue(after, before)) return { map: before, step: { edit: edited, outcome: 'is so already' } };
    if (!needsSolving(before, after)) return { map: sound(after), step: { edit: edited, outcome: 'done' } };
    for (;;) {
      const around = await solveAround(solver, evidence, before, change);
      const inWay = inTheWay.length > 0 ? { inTheWay } : {};
      if (around.kind === 'solved')
        return { map: sound(around.map), step: { edit: edited, outcome: 'done', ...inWay } };
      inTheWay = around.locks.map((lock) => `${lock.id}: ${describeLock(lock, before)}`);
      if (around.kind === 'impossible' || !edit.lifting)
        return { map: before, step: { edit: edited, outcome: around.kind, inTheWay } };
      const ids = around.locks.map(({ id }) => id);
      change = (map) => changed(liftLocks(map, ids), edit);
    }
  } catch (error) {
    if (!(error instanceof EditProblem)) throw error;
    return { map: before, step: { edit: edited, outcome: `refused: ${error.message}` } };
  }
}

/** The map, which the page would not take over with a fault. */
function sound(map: SongMap): SongMap {
  const faults = [...check(map), ...checkLocks(map)];
  if (faults.length > 0) throw new Error(`openSong: an edit left a map with faults: ${faults.join('; ')}`);
  return map;
}

/** The map as the edit alone makes it. */
function changed(map: SongMap, edit: GoldenEdit): SongMap {
  const bar = (at: number): number => {
    const found = nearestBar(map, at);
    if (found === undefined) throw new EditProblem('There is no bar.');
    return found;
  };
  const start = (at: number): number => (barOf(map, bar(at)) as { start: number }).start;
  const beat = ({ at, beat: place = 1 }: { at: number; beat?: number }): number => {
    const time = barOf(map, bar(at))?.beats[place - 1];
    if (time === undefined) throw new EditProblem(`The bar has no beat ${place}.`);
    return time;
  };
  switch (edit.do) {
    case 'beats':
      return setBarBeats(map, bar(edit.at), edit.beats);
    case 'accept':
      return lockBar(map, bar(edit.at));
    case 'beat 1':
      return setDownbeat(map, beat(edit));
    case 'not beat 1':
      return clearDownbeat(map, beat(edit));
    case 'no beat':
      return deleteBeat(map, beat(edit));
    case 'beat between': {
      const beats = beatTimes(map);
      const at = beats.indexOf(beat(edit));
      return addBeat(map, ((beats[at] as number) + (beats[at + 1] ?? map.end)) / 2);
    }
    case 'move beat':
      return moveBeat(map, beat(edit), beat(edit) + edit.by);
    case 'half':
      return halveTempo(map, edit.from, edit.to);
    case 'double':
      return doubleTempo(map, edit.from, edit.to);
    case 'shift':
      return shiftBarLines(map, edit.at === undefined ? undefined : bar(edit.at), edit.by);
    case 'free':
      return setFree(map, start(edit.from), start(edit.to));
    case 'meter':
      return setMeter(map, edit.from ?? map.start, edit.to ?? map.end, parseMeter(edit.meter));
    case 'bar meter':
      return setBarMeter(map, bar(edit.at), parseMeter(edit.meter));
    case 'tap': {
      const beats = beatTimes(map).filter((time) => time >= start(edit.from) && time <= start(edit.to));
      const taps = beats.map((time, i) => time + (TAPS_OFF[i % TAPS_OFF.length] as number));
      const lines = taps.filter((_, i) => barStartingAt(map, beats[i] as number) !== undefined);
      return tapBeats(map, taps, edit.bars ? lines : []);
    }
    case 'edge':
      return setEdge(map, edit.edge, edit.at);
    case 'take':
    case 'keep': {
      const doubt = map.doubts[edit.doubt - 1];
      if (!doubt) throw new EditProblem('There is no such doubt.');
      return applyDrafts(map, edit.do === 'take' ? doubt.other : doubt.keep);
    }
    case 'lift': {
      const ids = map.locks.map(({ id }) => id);
      return liftLocks(map, edit.which === 'all' ? ids : ids.slice(...(edit.which === 'oldest' ? [0, 1] : [-1])));
    }
    case 'name':
      return nameSection(map, bar(edit.from), bar(edit.to), edit.name);
    case 'refuse section':
      return refuseSection(map, map.sections[sectionOfBar(map, bar(edit.at)) ?? 0]?.id ?? '');
    case 'split section':
      return splitSection(map, bar(edit.at));
    case 'chords':
      return setChords(
        map,
        bar(edit.at),
        edit.chords.map((harte, place) => ({ beat: place, harte })),
      );
  }
}

function levelsOf(evidence: Evidence): LevelFact[] {
  return rhythmBase(evidence)
    .levels.slice(0, LEVELS)
    .map(({ period, times, bars, score }) => [60 / period, bars.beats, times[0] as number, score]);
}

function factsOf(evidence: Evidence, map: SongMap): MapFacts {
  const { start, end, prevailing, tuning, key, analysis, spans, sections, chords, locks, doubts } = map;
  const { title: _title, recording: _recording, ...other } = map;
  const known = { start, end, prevailing, tuning, key, analysis, spans, sections, chords, locks, doubts };
  const more = Object.entries(other).filter(([name, value]) => !(name in known) && value !== undefined);
  const { regions } = songPlan(evidence, readLocks(locks, evidence.duration));
  return {
    head: { start, end, prevailing: meterText(prevailing), tuning, ...(key && { key }), analysis },
    more: Object.fromEntries(more),
    spans: spans.map((span) => spanFact(map, span)),
    plan: regions.map(({ from, to, level, meter, grid, against }) => ({
      from,
      to,
      bpm: 60 / level.period,
      beats: level.bars.beats,
      score: level.score,
      meter: meterText(meter),
      grid,
      against,
    })),
    doubts: doubts.map((doubt) => ({ bar: barAtStart(map, doubt.time), ...doubt })),
    sections: sections.map((section) => ({ bar: barAtStart(map, section.start), ...section })),
    chords: chords.map(({ time, harte, origin, confidence }) => [time, harte, origin, confidence]),
    locks: locks.map((lock) => ({ says: describeLock(lock, map), ...lock })),
    passes: findPasses(map, evidence).map((table) => ({
      letter: table.letter,
      name: table.name,
      passes: table.passes.map(({ first, last, shift }) => [barNamed(map, first), barNamed(map, last), shift]),
      columns: table.columns.map(({ bars, usual }) => `${bars.map((bar) => bar ?? '-').join('/')}${usual ? '' : '+'}`),
      differences: table.differences.map((found) => ({ words: differenceWords(map, table, found), ...found })),
    })),
  };
}

function spanFact(map: SongMap, span: Span): SpanFact {
  if (span.kind !== 'bar') return { span: span.kind, start: span.start };
  const { start, beats, meter, confidence, pickup } = span;
  return {
    span: barAtStart(map, start),
    start,
    beats: beatsOf(meter),
    meter: meterText(meter),
    sure: confidence,
    ...(pickup && { pickup }),
    times: beats,
  };
}

function barAtStart(map: SongMap, time: number): string {
  const bar = barStartingAt(map, time);
  return bar === undefined ? '' : barNamed(map, bar);
}

function barNamed(map: SongMap, bar: number): string {
  return bar < barsOf(map).length ? barName(map, bar) : '';
}
