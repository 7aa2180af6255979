import type { BeatConstraints } from './beat-constraints.js';
import { gridPass, type GridPass, type GridTask } from './grid-pass.js';
import type { Pulse } from './pulse.js';

/** What a beat costs, in deviations, near a place that a lock keeps free of beats: the neighbours stay where they are. */
const NEAR_FORBIDDEN = 120;
/** How near that is, as a share of the tempo curve's beat. */
const CLEARANCE = 0.4;

/** A beat as found: `time` in seconds; `exact` when a lock put it there. */
export interface FoundBeat {
  readonly time: number;
  readonly exact: boolean;
}

/**
 * Beats along a tempo curve: dynamic programming over frames (Ellis, "Beat tracking by dynamic programming", JNMR 2007),
 * here with a target length that follows `period` (frames, one value a frame) and with required and forbidden beats.
 *
 * Every required beat is in the result at exactly its time. Returns beats from about `from` to `to` (frames). With a `memory`
 * the answer is the same, and quicker where few locks have changed since the last one.
 */
export function beatGrid(
  pulse: Pulse,
  period: Float32Array,
  from: number,
  to: number,
  constraints: BeatConstraints,
  memory?: GridMemory,
): FoundBeat[] {
  const required = constraints.required.map((time) => Math.round(time * pulse.rate));
  const start = Math.max(0, Math.min(from, required[0] ?? from));
  const end = Math.min(pulse.frames - 1, Math.max(to, required[required.length - 1] ?? to));
  const cost = forbiddenCost(pulse, period, constraints, required, start, end);
  const task = { worth: pulse.worth, period, start, end, required, cost };
  const pass = gridPass(task, memory && nearestPass(memory, task));
  if (memory) {
    memory.passes.unshift(pass);
    memory.passes.length = Math.min(memory.passes.length, KEPT);
  }
  return readBack(pass, constraints.required, pulse.rate);
}

/** Passes of one recording's pulse that may help the next. */
export interface GridMemory {
  readonly passes: GridPass[];
}

const KEPT = 6;

/** The pass from the same frame along the same tempo curve with most locks in common; then that of any curve. */
function nearestPass({ passes }: GridMemory, task: GridTask): GridPass | undefined {
  const same = passes.filter((pass) => pass.task.start === task.start);
  const along = same.filter((pass) => pass.task.period === task.period);
  let best: GridPass | undefined;
  let least = Infinity;
  for (const pass of along.length > 0 ? along : same) {
    const differing = unlike(task, pass.task);
    if (differing < least) [best, least] = [pass, differing];
  }
  return best;
}

/** How many required beats are not in both. */
function unlike(a: GridTask, b: GridTask): number {
  const own = new Set(a.required);
  const shared = b.required.reduce((sum, frame) => sum + (own.has(frame) ? 1 : 0), 0);
  return a.required.length + b.required.length - 2 * shared;
}

/** Infinity where no beat may be, a price beside such places, 0 elsewhere; nothing when no beat is forbidden. */
function forbiddenCost(
  pulse: Pulse,
  period: Float32Array,
  constraints: BeatConstraints,
  required: readonly number[],
  start: number,
  end: number,
): Float64Array | undefined {
  if (constraints.forbidden.length === 0) return undefined;
  const cost = new Float64Array(end - start + 1);
  const raise = (from: number, to: number, amount: number): void => {
    for (let t = Math.max(start, from); t <= Math.min(end, to); t++)
      cost[t - start] = Math.max(cost[t - start] as number, amount);
  };
  for (const { from, to } of constraints.forbidden) {
    const [first, last] = [Math.ceil(from * pulse.rate), Math.floor(to * pulse.rate)];
    const middle = Math.round((first + last) / 2);
    const clear = Math.round(CLEARANCE * (period[Math.max(0, Math.min(period.length - 1, middle))] as number));
    raise(middle - clear, middle + clear, NEAR_FORBIDDEN);
    raise(first, last, Infinity);
  }
  for (const frame of required) if (frame >= start && frame <= end) cost[frame - start] = 0;
  return cost;
}

function readBack(pass: GridPass, times: readonly number[], rate: number): FoundBeat[] {
  const { score, before, barrier } = pass;
  const { start, end, required, period } = pass.task;
  let t = barrier;
  let top = required.length > 0 ? (score[barrier] as number) : -Infinity;
  for (let s = Math.max(barrier, end - start - Math.round(1.2 * (period[end] as number))); s <= end - start; s++) {
    if ((score[s] as number) > top) {
      top = score[s] as number;
      t = s;
    }
  }
  const exact = new Map(required.map((frame, i) => [frame, times[i] as number]));
  const beats: FoundBeat[] = [];
  while (t >= 0) {
    const time = exact.get(start + t);
    beats.push({ time: time ?? (start + t) / rate, exact: time !== undefined });
    t = before[t] as number;
  }
  return beats.reverse();
}
