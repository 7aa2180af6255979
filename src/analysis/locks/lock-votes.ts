import type { Repetition } from '../bars/repetition.js';

/** What a bar that locks have corrected says of the same place in another pass, in nats. */
export const URGING = 8;
/** Changed beats no further apart than this belong to one correction. */
const ONE_CORRECTION = 16;
/** Beats from the first bar of a correction on over which another pass has to be the same, and the share of them found alike. */
const WINDOW = 12;
const ALIKE = 0.75;
/** Passes lie so many beats apart at least, and at most so many are another's: a figure that goes round tells no place from another. */
const APART = 24;
const MOST_PASSES = 5;
/** A repeat less sure than this is none here: a wrong bar at another pass costs the user more than a correction there. */
const SURE = 0.5;

/**
 * What corrections say of the same material elsewhere. Where the bars with locks (`locked`) differ from those without
 * (`usual`; both: points that begin bars, then the end), their bar lines are likely at other passes too: those that go on
 * alike through the whole correction and had the very bars that were corrected. In nats for or against each of `count`
 * points beginning a bar; undefined when nothing is said. `spelt` is true of points whose bar lines the user spelt out: who moves
 * lines from here on means these lines, and is not to find others moved that lie before.
 */
export function lockVotes(
  usual: readonly number[],
  locked: readonly number[],
  repetition: Repetition,
  count: number,
  spelt: (point: number) => boolean,
): Float32Array | undefined {
  const [before, now] = [begins(usual, count), begins(locked, count)];
  const runs = changedRuns(before, now);
  const inside = new Uint8Array(count);
  for (const { from, to } of runs) inside.fill(1, from, to);
  let votes: Float32Array | undefined;
  for (const run of runs) {
    if (someIn(run, spelt)) continue;
    const passes = lagsAt(repetition, run.from, Math.min(run.to, run.from + WINDOW))
      .map((lag) => ({ lag, end: sameThrough(run, lag, repetition, before, inside) }))
      .filter(({ end }) => end > run.from);
    if (passes.length > MOST_PASSES || passes.some(({ lag }) => Math.abs(lag) < APART)) continue;
    for (const { lag, end } of passes) {
      for (let i = run.from; i < end; i++) {
        votes ??= new Float32Array(count);
        votes[i + lag] = now[i] === 1 ? URGING : -URGING;
      }
    }
  }
  return votes;
}

function someIn(run: Run, is: (point: number) => boolean): boolean {
  for (let i = run.from; i < run.to; i++) if (is(i)) return true;
  return false;
}

/** Where another pass, `lag` points away, ceases to be the same; `run.from` where it is not the same at all. */
function sameThrough(run: Run, lag: number, repetition: Repetition, before: Uint8Array, inside: Uint8Array): number {
  const window = Math.min(run.to, run.from + WINDOW);
  let alike = 0;
  let end = run.from;
  let last = run.from;
  for (let i = run.from; i < run.to; i++) {
    const other = i + lag;
    if (other < 0 || other >= before.length || inside[other] === 1 || before[other] !== before[i]) break;
    if (isPartner(repetition, i, other)) {
      last = i;
      if (i < window) alike++;
    }
    if (i - last > 2) break;
    end = i + 1;
  }
  return end >= window && alike >= ALIKE * (window - run.from) ? end : run.from;
}

function isPartner({ offsets, others, weights }: Repetition, i: number, other: number): boolean {
  for (let at = offsets[i] as number; at < (offsets[i + 1] as number); at++) {
    if (others[at] === other) return (weights[at] as number) >= SURE;
  }
  return false;
}

function lagsAt({ offsets, others }: Repetition, from: number, to: number): number[] {
  const lags = new Set<number>();
  for (let i = from; i < to; i++) {
    for (let at = offsets[i] as number; at < (offsets[i + 1] as number); at++) lags.add((others[at] as number) - i);
  }
  return [...lags];
}

function begins(nodes: readonly number[], count: number): Uint8Array {
  const flags = new Uint8Array(count);
  for (const node of nodes) if (node < count) flags[node] = 1;
  return flags;
}

interface Run {
  from: number;
  to: number;
}

/** Stretches of points in which bars differ, grown to the bar lines around them. */
function changedRuns(before: Uint8Array, now: Uint8Array): Run[] {
  const runs: Run[] = [];
  for (let i = 0; i < now.length; i++) {
    if (before[i] === now[i]) continue;
    const last = runs[runs.length - 1];
    if (last && i - last.to < ONE_CORRECTION) last.to = i + 1;
    else runs.push({ from: i, to: i + 1 });
  }
  for (const run of runs) {
    // The bar before ends where the first change lies; the last one is followed by the line that stays.
    if (run.from > 0) run.from--;
    while (run.from > 0 && now[run.from] === 0) run.from--;
    while (run.to < now.length && now[run.to] === 0) run.to++;
    run.to = Math.min(now.length, run.to + 1);
  }
  return runs;
}
