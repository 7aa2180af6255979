import type { BeatSlot } from '../bar-grid.js';
import type { Evidence } from '../evidence.js';
import { chordLikelihoods } from './chord-net.js';
import { CHORD_STATES } from './vocabulary.js';

/** Beats whose likelihoods are remembered; more are a song solved in many ways, and it begins anew. */
const MOST = 8000;

const known = new WeakMap<Evidence, Map<string, Float32Array>>();

/**
 * The chord likelihoods of the `wanted` beats as from chordLikelihoods, zeros elsewhere. A beat that lies where it lay between the
 * same neighbours when the song was solved before is not heard again: most edits move few of them.
 */
export function heardLikelihoods(
  evidence: Evidence,
  beats: readonly BeatSlot[],
  harmony: Float32Array,
  wanted: (beat: number) => boolean,
): Float64Array {
  const size = CHORD_STATES.length;
  let rows = known.get(evidence);
  if (!rows || rows.size > MOST) known.set(evidence, (rows = new Map()));
  const keys = beats.map((_, i) => (wanted(i) ? keyOf(beats, i) : ''));
  const found = keys.map((key) => rows.get(key));
  const out = chordLikelihoods(harmony, (beat) => wanted(beat) && !found[beat]);
  keys.forEach((key, beat) => {
    if (key === '') return;
    // Kept as 32-bit numbers: used so the first time too, that what is remembered makes no difference.
    const row = found[beat] ?? Float32Array.from(out.subarray(beat * size, (beat + 1) * size));
    out.set(row, beat * size);
    rows.set(key, row);
  });
  return out;
}

function keyOf(beats: readonly BeatSlot[], beat: number): string {
  const part = (at: number): string => {
    const slot = beats[at];
    return slot ? `${slot.time},${slot.end}` : '';
  };
  return `${part(beat - 1)};${part(beat)};${part(beat + 1)}`;
}
