import type { Key, Recording, SongMap } from '../model/song-map.js';
import { withSpans } from '../model/follow.js';
import { indexOf } from '../model/map-index.js';
import { barSlots, beatSlots, type BarSlot } from './bars/bar-grid.js';
import { changedBars } from './bars/changed-bars.js';
import { findChords } from './chords/find-chords.js';
import { keepUserChords } from './chords/keep-user-chords.js';
import { passGroups } from './chords/pool-passes.js';
import { renewChords } from './chords/renew-chords.js';
import type { Evidence } from './evidence/evidence.js';
import { SILENT_PROGRESS, checkpoint, type Progress } from './progress.js';
import { findSections } from './sections/find-sections.js';
import type { SolveOptions } from './solve-options.js';
import { solveRhythm } from './solve-rhythm.js';

/** A solved map, or the ids of the locks that cannot all hold together (the newest among them last). */
export type SolveOutcome =
  { readonly ok: true; readonly map: SongMap } | { readonly ok: false; readonly conflict: readonly string[] };

/** Share of the whole analysis that is done when solving begins. */
export const SOLVE_FROM = 0.6;

/** The first map of a recording: nothing locked, everything suggested. Throws Cancelled when `progress` says so. */
export function firstMap(
  evidence: Evidence,
  recording: Recording,
  title: string,
  progress: Progress = SILENT_PROGRESS,
  options: SolveOptions = {},
): SongMap {
  checkpoint(progress);
  progress.report('beats', SOLVE_FROM);
  const rhythm = solveRhythm(evidence, [], options);
  if (!rhythm.ok) throw new Error('firstMap: the rhythm solver found a conflict where nothing is locked');
  progress.report('bars', 0.95);
  const { beats, lines } = indexOf(rhythm);
  progress.found?.({ beats, lines });
  checkpoint(progress);
  const blank: SongMap = {
    title,
    recording,
    start: rhythm.start,
    end: rhythm.end,
    spans: rhythm.spans,
    prevailing: rhythm.prevailing,
    tuning: evidence.tuning,
    ...(evidence.key ? { key: evidence.key } : {}),
    sections: [],
    chords: [],
    locks: [],
    doubts: rhythm.doubts,
    analysis: evidence.version,
  };
  return suggestAll(evidence, blank, progress);
}

/**
 * Solves again around `map.locks`. Title, key and what the user decided about sections and chords stay and follow the
 * bars. Suggestions follow too; new ones are made only where bars changed (sections: where most did and the user has
 * not touched them), or for the whole song when the evidence is of another version than the map.
 */
export function solveMap(evidence: Evidence, map: SongMap, options: SolveOptions = {}): SolveOutcome {
  const rhythm = solveRhythm(evidence, map.locks, options);
  if (!rhythm.ok) return rhythm;
  const { prevailing, doubts } = rhythm;
  const next: SongMap = { ...withSpans(map, rhythm), prevailing, doubts, analysis: evidence.version };
  if (map.analysis !== evidence.version) return { ok: true, map: suggestAll(evidence, next, SILENT_PROGRESS) };
  const before = barSlots(map.spans, map.end);
  const bars = barSlots(next.spans, next.end);
  const changed = changedBars(before, bars);
  const count = changed.filter(Boolean).length;
  if (count === 0 && before.length === bars.length) return { ok: true, map: next };
  const anew = 2 * count > bars.length && untouched(evidence, map, before);
  const sections = anew ? findSections(evidence, bars, next.sections, next.refused) : next.sections;
  return {
    ok: true,
    map: { ...next, sections, chords: renewChords(evidence, { ...next, sections }, bars, changed, keyOf(map)) },
  };
}

/** All suggestions anew, around what the user decided. */
function suggestAll(evidence: Evidence, map: SongMap, progress: Progress): SongMap {
  const bars = barSlots(map.spans, map.end);
  const beats = beatSlots(bars);
  progress.report('sections', 0.96);
  const sections = findSections(evidence, bars, map.sections, map.refused);
  progress.report('chords', 0.98);
  const found = findChords(evidence, bars, beats, keyOf(map), passGroups(sections, bars));
  const chords = keepUserChords(map.chords, found, beats);
  progress.report('chords', 1);
  return { ...map, sections, chords };
}

/** True when the sections are still those that were suggested. (Maps of older versions do not tell what was refused.) */
function untouched(evidence: Evidence, map: SongMap, bars: readonly BarSlot[]): boolean {
  if (map.refused || map.sections.some(({ origin, anchor }) => origin === 'user' || anchor !== undefined)) return false;
  const suggested = findSections(evidence, bars);
  return suggested.length === map.sections.length && suggested.every((s, i) => s.start === map.sections[i]?.start);
}

/** A key that is little more than a guess says nothing about the chords. */
function keyOf(map: SongMap): Key | undefined {
  return map.key && map.key.confidence >= 0.5 ? map.key : undefined;
}
