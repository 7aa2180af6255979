import type { BeatSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';
import { beatHarmony } from './beat-harmony.js';
import { chordLikelihoods } from './chord-net.js';
import { CHORD_STATES } from './vocabulary.js';

/** How likely each chord is on one beat: logarithms, and the probabilities themselves. */
export interface HeardChords {
  readonly logs: Float32Array;
  readonly likely: Float32Array;
}

/** Beats whose likelihoods are remembered; more are a song solved in many ways, and it begins anew. */
const MOST = 8000;

/** A beat between its neighbours. */
interface HeardBeat {
  readonly before: BeatSlot | undefined;
  readonly own: BeatSlot;
  readonly after: BeatSlot | undefined;
  readonly chords: HeardChords;
}

interface Memory {
  /** By where the beat begins. */
  readonly beats: Map<number, HeardBeat[]>;
  count: number;
}

const known = new WeakMap<Evidence, Memory>();

/**
 * For each of the `wanted` beats (ascending places among `beats`) how likely every chord is, as from chordLikelihoods. A beat
 * that lies where it lay between the same neighbours when the song was solved before is not heard again: most edits move few of
 * them.
 */
export function heardLikelihoods(
  evidence: Evidence,
  beats: readonly BeatSlot[],
  wanted: readonly number[],
): Map<number, HeardChords> {
  let memory = known.get(evidence);
  if (!memory || memory.count > MOST) known.set(evidence, (memory = { beats: new Map(), count: 0 }));
  const out = new Map<number, HeardChords>();
  const missing: number[] = [];
  for (const beat of wanted) {
    const found = lookUp(memory, beats, beat);
    if (found) out.set(beat, found);
    else missing.push(beat);
  }
  const size = CHORD_STATES.length;
  for (let i = 0; i < missing.length;) {
    // A run of beats is heard at once, with a neighbour either side.
    const first = missing[i] as number;
    let next = i + 1;
    while (next < missing.length && missing[next] === first + next - i) next++;
    const last = first + next - i - 1;
    const from = Math.max(0, first - 1);
    const to = Math.min(beats.length, last + 2);
    const scores = chordLikelihoods(
      beatHarmony(evidence, beats.slice(from, to)),
      (at) => from + at >= first && from + at <= last,
    );
    for (let beat = first; beat <= last; beat++) {
      // Kept as 32-bit numbers, used so the first time too: what is remembered makes no difference.
      const logs = new Float32Array(scores.subarray((beat - from) * size, (beat - from + 1) * size));
      const chords = { logs, likely: logs.map(Math.exp) };
      keep(memory, beats, beat, chords);
      out.set(beat, chords);
    }
    i = next;
  }
  return out;
}

function lookUp(memory: Memory, beats: readonly BeatSlot[], beat: number): HeardChords | undefined {
  const own = beats[beat] as BeatSlot;
  for (const heard of memory.beats.get(own.time) ?? []) {
    if (
      heard.own.end === own.end &&
      samePlace(heard.before, beats[beat - 1]) &&
      samePlace(heard.after, beats[beat + 1])
    )
      return heard.chords;
  }
  return undefined;
}

function samePlace(a: BeatSlot | undefined, b: BeatSlot | undefined): boolean {
  return a?.time === b?.time && a?.end === b?.end;
}

function keep(memory: Memory, beats: readonly BeatSlot[], beat: number, chords: HeardChords): void {
  const own = beats[beat] as BeatSlot;
  let list = memory.beats.get(own.time);
  if (!list) memory.beats.set(own.time, (list = []));
  list.push({ before: beats[beat - 1], own, after: beats[beat + 1], chords });
  memory.count++;
}
