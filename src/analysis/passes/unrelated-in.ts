import { COMMON_TIME } from '../../music/meter.js';
import type { BarSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';
import { heardSounds } from './bar-sounds.js';
import { unrelatedDistance } from './sound-distance.js';

/** Stretches that stand for bars: so many parts, so long, and how many stretches over the whole recording. */
const BEATS = 4;
const BEAT = 0.25;
const STRETCHES = 40;
/** Parts that know nothing of beats hold some of the chord before: bars are so much further apart (measured: 1.03 to 1.07). */
const CLEARER = 1.05;

const known = new WeakMap<Evidence, number>();

/** How far apart bars of the recording are that have nothing in common: its own, whatever bars it has now. */
export function unrelatedIn(evidence: Evidence): number {
  const before = known.get(evidence);
  if (before !== undefined) return before;
  const length = BEATS * BEAT;
  const count = Math.max(1, Math.min(STRETCHES, Math.floor(evidence.duration / length)));
  const slots = Array.from({ length: count }, (_, i): BarSlot => {
    const start = (i * evidence.duration) / count;
    const beats = Array.from({ length: BEATS }, (_beat, k) => start + k * BEAT);
    const bar = { kind: 'bar' as const, start, beats, meter: COMMON_TIME, confidence: 1 };
    return { bar, start, end: start + length };
  });
  const sounds = heardSounds(evidence, slots).map((beatwise) => ({ beats: BEATS, beatwise }));
  const found = CLEARER * unrelatedDistance(sounds);
  known.set(evidence, found);
  return found;
}
