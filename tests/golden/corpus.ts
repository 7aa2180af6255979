import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { repeatedEvidence, unpackEvidence, type Kept } from './evidence-file.js';
import { readFacts, type SongFacts, type StateFacts } from './facts.js';
import { RECORDINGS } from './recordings.js';
import type { GoldenRecording } from './sources.js';
import { openSong } from './solve.js';

export const EVIDENCE = join('tests', 'golden', 'evidence');
export const MAPS = join('tests', 'golden', 'maps');

export function evidencePath(id: string): string {
  return join(EVIDENCE, `${id}.gz`);
}

export function mapsPath(id: string): string {
  return join(MAPS, `${id}.json`);
}

/** The evidence of a recording, as kept. */
export function keptEvidence({ id, from }: GoldenRecording): Kept {
  if (from.by !== 'repeat') return unpackEvidence(readFileSync(evidencePath(id)));
  const other = RECORDINGS.find((one) => one.id === from.of);
  if (!other) throw new RangeError(`keptEvidence: found no recording "${from.of}", which ${id} repeats`);
  return repeatedEvidence(keptEvidence(other), from.seconds);
}

/** The maps as they were. */
export function goldenFacts({ id }: GoldenRecording): SongFacts {
  return readFacts(readFileSync(mapsPath(id), 'utf8'));
}

/** The maps as the program makes them now: the first, and the one after each list of edits. */
export async function solvedFacts(recording: GoldenRecording): Promise<SongFacts> {
  const { id, edits } = recording;
  const kept = keptEvidence(recording);
  const song = openSong(kept.evidence, kept.recording, id);
  const states: StateFacts[] = [{ edits: [], steps: [], ...song.facts(song.first) }];
  for (const list of edits) {
    const steps: StateFacts['steps'][number][] = [];
    let map = song.first;
    for (const edit of list) {
      const done = await song.perform(map, edit);
      map = done.map;
      steps.push(done.step);
    }
    states.push({ edits: list, steps, ...song.facts(map) });
  }
  return { id, levels: song.levels, states };
}
