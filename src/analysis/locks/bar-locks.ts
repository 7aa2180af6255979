import { beatsOf } from '../../music/meter.js';
import { covered, includesTime, type RhythmLocks } from './rhythm-locks.js';
import type { Region } from '../meter/song-plan.js';
import type { BarEvidence } from '../bars/bar-scores.js';
import { MUST_NOT_START, MUST_START, noBarConstraints, type BarConstraints } from '../bars/constrained-bars.js';
import type { BarPath } from '../bars/lattice.js';

/** What the locks demand of the bars over the grid points at `times`; `gridAt` tells the points a beat. */
export function barConstraints(
  locks: RhythmLocks,
  times: readonly number[],
  gridAt: (time: number) => number,
): BarConstraints {
  const constraints = noBarConstraints(times.length);
  times.forEach((time, i) => {
    if (includesTime(locks.downbeats, time)) constraints.starts[i] = MUST_START;
    else if (covered(locks.noDownbeats, time)) constraints.starts[i] = MUST_NOT_START;
  });
  for (const { time, meter } of locks.lengths) {
    const i = times.findIndex((beat) => Math.abs(beat - time) <= 1e-6);
    if (i >= 0) constraints.lengths[i] = Math.ceil(beatsOf(meter) * gridAt(time) - 1e-9);
  }
  return constraints;
}

/** Share of the evidence still believed where a lock has shown it to be wrong, and the price of turning back there. */
const BELIEVED = 0.02;
const TURNING_BACK = 14;
/** The same where the user's time signature is against what is heard. */
const BELIEVED_AGAINST = 0.3;
const TURNING_AGAINST = 8;

/**
 * A lock that contradicts the bars found without locks shows that their phase is wrong from there to their next irregular
 * bar (or the next lock): the evidence there counts less and turning back costs more, so that one lock corrects
 * all that follows. Not where the bar found there was irregular itself: then it is only put right. The same where
 * `moved` says that locks have moved the beats off what is heard. Undefined when nothing contradicts.
 */
export function followLocks(
  free: BarPath | undefined,
  constraints: BarConstraints,
  regions: readonly Region[],
  moved: (i: number) => boolean,
): Pick<BarEvidence, 'trust' | 'steadiness'> | undefined {
  if (!free) return undefined;
  const count = regions.length;
  const begins = new Uint8Array(count + 1);
  for (const node of free.nodes) begins[node] = 1;
  const firm = lockedLines(constraints, count);
  const trust = new Float32Array(count).fill(1);
  const steadiness = new Float32Array(count);
  let any = false;
  for (let i = 0; i < count; i++) {
    const against = regions[i]?.against === true;
    if (!against && !moved(i)) continue;
    any = true;
    trust[i] = against ? BELIEVED_AGAINST : BELIEVED;
    steadiness[i] = against ? TURNING_AGAINST : TURNING_BACK;
  }
  for (let i = 0; i < count; i++) {
    const contradicts = firm[i] === MUST_START ? begins[i] === 0 : firm[i] === MUST_NOT_START && begins[i] === 1;
    // Where an irregular bar was found, the lock says where it lies; what follows was found with its help and stays.
    if (!contradicts || liesInIrregular(free.nodes, i, regions)) continue;
    any = true;
    for (let k = i; k < count; k++) {
      if (k > i && firm[k] === MUST_START) break;
      if (k > i && regions[k] !== regions[i]) break;
      if (k > i && begins[k] === 1 && isIrregular(free.nodes, k, regions)) break;
      trust[k] = BELIEVED;
      steadiness[k] = TURNING_BACK;
    }
  }
  return any ? { trust, steadiness } : undefined;
}

/** Bar lines that locks fix, the ends of bars of locked length among them. */
function lockedLines({ starts, lengths }: BarConstraints, count: number): Uint8Array {
  const firm = starts.slice();
  for (let i = 0; i < count; i++) {
    const length = lengths[i] as number;
    if (length === 0) continue;
    firm[i] = MUST_START;
    if (i + length < count) firm[i + length] = MUST_START;
  }
  return firm;
}

/** True when the bar that holds point i, or ends there, is of another length than usual. */
function liesInIrregular(nodes: readonly number[], i: number, regions: readonly Region[]): boolean {
  return nodes.some((node, n) => {
    const next = nodes[n + 1];
    return next !== undefined && node <= i && i <= next && isIrregular(nodes, node, regions);
  });
}

function isIrregular(nodes: readonly number[], node: number, regions: readonly Region[]): boolean {
  const at = nodes.indexOf(node);
  const next = nodes[at + 1];
  return next !== undefined && next - node !== regions[node]?.level.bars.beats;
}
