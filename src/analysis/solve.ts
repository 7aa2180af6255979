import type { Key, Recording, SongMap } from '../model/song-map.js';
import { barSlots, beatSlots } from './bar-grid.js';
import { findChords } from './chords/find-chords.js';
import { keepUserChords } from './chords/keep-user-chords.js';
import type { Evidence } from './evidence.js';
import { SILENT_PROGRESS, checkpoint, type Progress } from './progress.js';
import { findSections } from './sections/find-sections.js';
import { solveRhythm, type RhythmOutcome } from './solve-rhythm.js';

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
): SongMap {
  checkpoint(progress);
  progress.report('beats', SOLVE_FROM);
  const rhythm = solveRhythm(evidence, []);
  if (!rhythm.ok) throw new Error('firstMap: the rhythm solver found a conflict where nothing is locked');
  progress.report('bars', 0.95);
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
  return dress(evidence, blank, rhythm, progress);
}

/**
 * Solves again around `map.locks`. The user's sections, chords, title and key stay; suggestions follow the new bars.
 * A user's section stays on the bar line nearest to its anchor, a user's chord on the beat nearest to its time.
 */
export function solveMap(evidence: Evidence, map: SongMap): SolveOutcome {
  const rhythm = solveRhythm(evidence, map.locks);
  if (!rhythm.ok) return rhythm;
  return { ok: true, map: dress(evidence, map, rhythm, SILENT_PROGRESS) };
}

type Solved = Extract<RhythmOutcome, { ok: true }>;

/** The map with the rhythm as solved, and sections and chords on it. */
function dress(evidence: Evidence, map: SongMap, rhythm: Solved, progress: Progress): SongMap {
  const { spans, prevailing, start, end, doubts } = rhythm;
  const bars = barSlots(spans, end);
  const beats = beatSlots(bars);
  progress.report('sections', 0.96);
  const sections = findSections(evidence, bars, map.sections);
  progress.report('chords', 0.98);
  const chords = keepUserChords(map.chords, findChords(evidence, bars, beats, keyOf(map)), beats);
  progress.report('chords', 1);
  return { ...map, start, end, spans, prevailing, sections, chords, doubts, analysis: evidence.version };
}

/** A key that is little more than a guess says nothing about the chords. */
function keyOf(map: SongMap): Key | undefined {
  return map.key && map.key.confidence >= 0.5 ? map.key : undefined;
}
