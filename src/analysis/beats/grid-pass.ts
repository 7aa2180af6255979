import type { Pulse } from './pulse.js';

/** Weight of the squared log ratio between a beat's length and the tempo curve's (Ellis's alpha, here for a pulse of deviation 1). */
export const TIGHTNESS = 160;
/** Shortest and longest beat tried, as shares of the tempo curve's: usually, and next to what locks ask for. */
const USUAL = { least: 0.6, most: 1.65 };
const BY_LOCKS = { least: 0.3, most: 2.1 };
/** Share of the tightness that a short beat costs beside a required one: an added beat drives no other away. */
const BESIDE_ADDED = 0.05;

/** What the pass goes over: frames `start` to `end` of the pulse, both included. */
export interface GridTask {
  readonly worth: Pulse['worth'];
  /** Target length of a beat at every frame of the pulse, in frames. */
  readonly period: Float32Array;
  readonly start: number;
  readonly end: number;
  /** Frames that beats must be on, ascending. */
  readonly required: readonly number[];
  /** What a beat costs on each frame from `start` on, Infinity where none may be; nothing when no beat is forbidden. */
  readonly cost?: Float64Array | undefined;
}

/** The best score of a path of beats that ends on each frame, and what it came from; frames counted from the task's start. */
export interface GridPass {
  readonly task: GridTask;
  readonly score: Float64Array;
  readonly before: Int32Array;
  /** 1 where a beat of usual length came before, and no lock had a say in it. */
  readonly plain: Uint8Array;
  /** The last required beat, 0 when none is. */
  readonly barrier: number;
}

/**
 * Scores are whole multiples of 2 ** -24, so that sums are exact: where paths run together again after a change, the scores
 * come out as they were before it, all higher or lower by the same amount, and the same beats win.
 */
const ROUNDER = 1.5 * 2 ** 28;
function rounded(value: number): number {
  return value + ROUNDER - ROUNDER;
}

/** What locks up to a frame mean for the next; depends on the task alone, not on scores. */
interface LockState {
  /** Place of the next required beat among them. */
  next: number;
  /** No beat may follow one before this frame: the last required one has to be used. */
  barrier: number;
  /** Up to this frame beats may be of unusual length. */
  looseUntil: number;
  /** The last frame before the forbidden run that ended last. */
  beforeGap: number;
  gapEnd: number;
}

function atStart(): LockState {
  return { next: 0, barrier: 0, looseUntil: -1, beforeGap: 0, gapEnd: -1 };
}

function sameState(a: LockState, b: LockState): boolean {
  return (
    a.next > 0 === b.next > 0 &&
    a.barrier === b.barrier &&
    a.looseUntil === b.looseUntil &&
    a.beforeGap === b.beforeGap &&
    a.gapEnd === b.gapEnd
  );
}

/** What the cost of a beat on frame `t` changes, before that frame is looked at. */
function enter(state: LockState, { required, start, cost, period }: GridTask, t: number): void {
  const extra = cost ? (cost[t] as number) : 0;
  if (extra === 0) return;
  const target = period[start + t] as number;
  state.looseUntil = t + BY_LOCKS.most * target;
  if (extra < Infinity || required[state.next] === start + t) return;
  const isFirst = t > 0 && (cost as Float64Array)[t - 1] !== Infinity;
  // Gaps a beat or less apart are one: nothing need be between them.
  if (isFirst && (state.gapEnd < 0 || t - state.gapEnd > 1.2 * target)) state.beforeGap = t - 1;
  state.gapEnd = t;
}

/** What a required beat on frame `t` changes for the frames after it. */
function leave(state: LockState, { required, start, period }: GridTask, t: number): void {
  if (required[state.next] !== start + t) return;
  while (required[state.next] === start + t) state.next++;
  state.barrier = t;
  state.looseUntil = t + BY_LOCKS.most * (period[start + t] as number);
}

/** Enters and leaves the frames from `from` up to `to`. */
function advance(state: LockState, task: GridTask, from: number, to: number): void {
  const { required, start, cost } = task;
  if (!cost) {
    for (let frame = required[state.next]; frame !== undefined && frame < start + to; frame = required[state.next])
      leave(state, task, frame - start);
    return;
  }
  for (let t = from; t < to; t++) {
    if (cost[t] !== 0) enter(state, task, t);
    leave(state, task, t);
  }
}

/**
 * The forward pass of the dynamic programming over frames. What `known`, a pass from the same start, says of frames on which
 * nothing differs is taken over, from where all frames that a beat may follow differ from the known ones by one amount. The
 * answer is the same to the last bit with it and without.
 */
export function gridPass(task: GridTask, known?: GridPass): GridPass {
  const count = task.end - task.start + 1;
  const pass = {
    task,
    score: new Float64Array(count),
    before: new Int32Array(count).fill(-1),
    plain: new Uint8Array(count),
    barrier: 0,
  };
  const state = atStart();
  const likeness = known && new Likeness(task, known);
  let most = 0;
  for (let t = 0; t < count;) {
    if (likeness) {
      const to = likeness.takeOver(pass, state, t);
      for (; t < to; t++) if ((pass.score[t] as number) > most) most = pass.score[t] as number;
      if (t === count) break;
    }
    enter(state, task, t);
    most = Math.max(most, lookBack(pass, state, t, most));
    leave(state, task, t);
    likeness?.compare(pass, t);
    t++;
  }
  pass.barrier = state.barrier;
  return pass;
}

/** Finds the best score of a path that ends on frame `t`, and returns it; `most` is the best score of any frame so far. */
function lookBack(pass: GridPass, state: LockState, t: number, most: number): number {
  const { score, before, plain, task } = pass;
  const { start, required, cost } = task;
  const { next, barrier, beforeGap } = state;
  const isRequired = required[next] === start + t;
  const extra = cost ? (cost[t] as number) : 0;
  if (extra === Infinity && !isRequired) return (score[t] = -Infinity);
  const isLoose = t <= state.looseUntil;
  const target = task.period[start + t] as number;
  const range = isRequired || isLoose ? BY_LOCKS : USUAL;
  const logs = logTable(t + 1);
  const logTarget = Math.log(target);
  const nearest = t - Math.max(2, Math.round(range.least * target));
  let furthest = t - Math.round(range.most * target);
  if (isLoose && beforeGap > 0) furthest = Math.min(furthest, beforeGap - Math.round(target));
  const isPlain = !isRequired && !isLoose && furthest >= barrier;
  furthest = Math.max(barrier, furthest);
  // A path may begin anywhere before the first required beat; later it must come from somewhere.
  let top = next === 0 ? 0 : -Infinity;
  let arg = -1;
  const middle = isRequired ? t - Math.round(target) : nearest;
  let first = furthest;
  let last = nearest;
  if (isPlain) {
    // Beats so far from the target that not even the best score could make up for it need no look.
    const length = Math.round(target);
    const off = Math.log(length) - logTarget;
    const least = Math.max(top, (score[t - length] as number) - TIGHTNESS * off * off);
    const factor = Math.exp(Math.sqrt((Math.max(0, most - least) + SLACK) / TIGHTNESS));
    first = Math.max(first, Math.floor(t - target * factor));
    last = Math.min(last, Math.ceil(t - target / factor));
  }
  for (let s = first; s <= last; s++) {
    const z = (logs[t - s] as number) - logTarget;
    const tightness = s > middle ? BESIDE_ADDED * TIGHTNESS : TIGHTNESS;
    const value = (score[s] as number) - rounded(tightness * z * z);
    if (value > top) {
      top = value;
      arg = s;
    }
  }
  if (isPlain && arg >= 0) plain[t] = 1;
  if (isLoose && state.gapEnd >= 0) {
    // Over a gap, whole beats may be left out.
    for (let s = furthest; s <= Math.min(beforeGap, nearest); s++) {
      const left = Math.max(1, Math.round((t - s) / target));
      const z = (logs[t - s] as number) - logTarget - Math.log(left);
      const value = (score[s] as number) - rounded(TIGHTNESS * z * z);
      if (value > top) {
        top = value;
        arg = s;
      }
    }
  }
  if (next > 0 && barrier > t - target && barrier <= nearest) {
    const z = (logs[t - barrier] as number) - logTarget;
    const value = (score[barrier] as number) - rounded(BESIDE_ADDED * TIGHTNESS * z * z);
    if (value > top) {
      top = value;
      arg = barrier;
    }
  }
  if (arg < 0 && next > 0 && (isRequired || t - barrier > range.most * target)) {
    const z = Math.log(Math.max(1, t - barrier)) - logTarget;
    top = (score[barrier] as number) - rounded(TIGHTNESS * z * z);
    arg = barrier;
  }
  before[t] = arg;
  return (score[t] = top + rounded(task.worth[start + t] as number) - (isRequired ? 0 : extra));
}

/** More than rounding can make of a score. */
const SLACK = 2 ** -16;

/** How a pass under way compares with one that is known. */
class Likeness {
  private readonly old = atStart();
  /** 1 where worth, beat length or locks differ, or nothing is known. */
  private readonly changed: Uint8Array;
  /** 1 where worth or beat length differ, a lock had a say before, or one may have now. */
  private readonly locked: Uint8Array;
  /** So many frames before the next one differ from the known ones by `offset`. */
  private alike = 0;
  private offset = 0;

  constructor(
    private readonly task: GridTask,
    private readonly known: GridPass,
  ) {
    const { start, required, cost } = task;
    this.locked = differences(task, known.task);
    this.changed = this.locked.slice();
    const { locked, changed } = this;
    const before = known.task.cost;
    for (let t = 0; t < locked.length; t++) if (known.plain[t] !== 1) locked[t] = 1;
    for (let t = 0; cost && t < locked.length; t++) if (cost[t] !== 0) locked[t] = 1;
    for (let t = 0; (cost ?? before) && t < changed.length; t++)
      if ((cost?.[t] ?? 0) !== (before?.[t] ?? 0)) changed[t] = 1;
    for (const frame of required) locked[frame - start] = 1;
    for (const frame of required) if (!known.task.required.includes(frame)) changed[frame - start] = 1;
    for (const frame of known.task.required) if (!required.includes(frame)) changed[frame - start] = 1;
  }

  /** Copies what is known from frame `t` on as far as it is the same; returns the first frame that may not be. */
  takeOver(pass: GridPass, state: LockState, t: number): number {
    if (t >= this.known.score.length) return t;
    let to = t;
    if (this.isSame(state, t)) {
      // The same holds of the next frames, as far as nothing changes.
      to = upTo(this.changed, t);
      this.copy(pass, t, to);
    } else {
      while (this.locked[to] === 0 && this.isPlainStill(state, to)) this.copy(pass, to, ++to);
      if (to === t) return t;
    }
    advance(state, this.task, t, to);
    advance(this.old, this.known.task, t, to);
    return to;
  }

  /** Notes how frame `t`, which was computed, differs from the known one. */
  compare({ score }: GridPass, t: number): void {
    if (t >= this.known.score.length) return;
    advance(this.old, this.known.task, t, t + 1);
    const [value, before] = [score[t] as number, this.known.score[t] as number];
    const by = value - before;
    if (by === this.offset || (value === -Infinity && before === -Infinity)) this.alike++;
    else {
      this.alike = Number.isFinite(by) ? 1 : 0;
      this.offset = Number.isFinite(by) ? by : 0;
    }
  }

  /** Nothing asks anything else of frame `t` than before, and all frames that it may follow are alike. */
  private isSame(state: LockState, t: number): boolean {
    return (
      this.changed[t] === 0 &&
      this.alike >= t - state.barrier &&
      (state.next > 0 || this.offset === 0) &&
      sameState(state, this.old)
    );
  }

  /** A beat of usual length came before frame `t`, where no lock has a say now, and would again. */
  private isPlainStill({ next, barrier, looseUntil }: LockState, t: number): boolean {
    const { worth, period, start } = this.task;
    const furthest = Math.round(USUAL.most * (period[start + t] as number));
    if (t <= looseUntil || this.alike < furthest || t - furthest < barrier) return false;
    return next > 0 || (this.known.score[t] as number) + this.offset - rounded(worth[start + t] as number) > 0;
  }

  private copy({ score, before, plain }: GridPass, from: number, to: number): void {
    const { known, offset } = this;
    for (let t = from; t < to; t++) {
      score[t] = (known.score[t] as number) + offset;
      before[t] = known.before[t] as number;
      plain[t] = known.plain[t] as number;
    }
    this.alike += to - from;
  }
}

/** The first place from `from` on where `flags` holds a 1, its end if there is none. */
function upTo(flags: Uint8Array, from: number): number {
  const at = flags.indexOf(1, from);
  return at < 0 ? flags.length : at;
}

/** 1 for each frame of the task on which another worth or beat length was known, or that was not known. */
function differences({ worth, period, start, end }: GridTask, known: GridTask): Uint8Array {
  const out = new Uint8Array(end - start + 1);
  if (known.end < end) out.fill(1, known.end - start + 1);
  const last = Math.min(end, known.end);
  if (worth !== known.worth) for (let t = start; t <= last; t++) if (worth[t] !== known.worth[t]) out[t - start] = 1;
  if (period !== known.period)
    for (let t = start; t <= last; t++) if (period[t] !== known.period[t]) out[t - start] = 1;
  return out;
}

let table = new Float64Array(0);
/** Natural logarithms of 0 to `count`; grows, never changes. */
function logTable(count: number): Float64Array {
  if (table.length <= count) {
    table = new Float64Array(Math.max(65536, 2 * count));
    for (let i = 0; i < table.length; i++) table[i] = Math.log(Math.max(i, 0.5));
  }
  return table;
}
