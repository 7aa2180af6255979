import type { BeatSlot } from '../bar-grid.js';
import type { Evidence } from '../evidence.js';
import { beatHarmony } from './beat-harmony.js';
import { chordLikelihoods } from './chord-net.js';
import { CHORD_STATES } from './vocabulary.js';

/** Beats whose likelihoods are remembered; more are a song solved in many ways, and it begins anew. */
const MOST = 8000;

const known = new WeakMap<Evidence, Map<string, Float32Array>>();

/**
 * For each of the `wanted` beats (ascending places among `beats`) the log-probability of every chord, as from chordLikelihoods.
 * A beat that lies where it lay between the same neighbours when the song was solved before is not heard again: most edits
 * move few of them.
 */
export function heardLikelihoods(
  evidence: Evidence,
  beats: readonly BeatSlot[],
  wanted: readonly number[],
): Map<number, Float32Array> {
  let rows = known.get(evidence);
  if (!rows || rows.size > MOST) known.set(evidence, (rows = new Map()));
  const out = new Map<number, Float32Array>();
  const missing: number[] = [];
  for (const beat of wanted) {
    const row = rows.get(keyOf(beats, beat));
    if (row) out.set(beat, row);
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
      const row = new Float32Array(scores.subarray((beat - from) * size, (beat - from + 1) * size));
      rows.set(keyOf(beats, beat), row);
      out.set(beat, row);
    }
    i = next;
  }
  return out;
}

function keyOf(beats: readonly BeatSlot[], beat: number): string {
  const before = beats[beat - 1];
  const { time, end } = beats[beat] as BeatSlot;
  const after = beats[beat + 1];
  return `${before ? `${before.time},${before.end}` : ''};${time},${end};${after ? `${after.time},${after.end}` : ''}`;
}
