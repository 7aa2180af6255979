import { msg, str } from '@lit/localize';
import type { Bar, Doubt } from '../../model/song-map.js';
import { median } from '../../dsp/series.js';
import type { BarCase } from '../bars/bar-cases.js';
import type { Evidence } from '../evidence/evidence.js';
import { HEARD_NEAR } from '../evidence/features/beat-features.js';
import { heardNear } from '../evidence/features/heard.js';
import type { RhythmLocks } from '../locks/rhythm-locks.js';

/** Mean log odds of a beat, over the beats of a bar, below which a bar may have no pulse. */
const FAINT = 2;
/** The same over a whole stretch; and how far it has to lie below what is usual in the song. */
const NO_PULSE = 1.5;
const BELOW_USUAL = 2.5;
/** Bars beside it that lie so far below what is usual belong to it. */
const BESIDE = 2;
/** Fewer bars or seconds than this are no stretch. */
const FEWEST = 2;
const SHORTEST = 4;
/** How much a listen is worth: the fainter, the more. */
const WEIGHT = 0.35;
const EACH = 0.08;

/** A stretch of bars, by their places among the cases. */
export interface FaintStretch {
  readonly first: number;
  readonly last: number;
  readonly doubt: Doubt;
}

/**
 * Stretches in which the network hears no beat where the map has them, though it does in the rest of the song: rubato
 * beginnings, held or spoken endings, breaks. Free time is offered for each; nothing where locks say anything.
 */
export function freeDoubts(evidence: Evidence, cases: readonly BarCase[], locks: RhythmLocks): FaintStretch[] {
  const track = evidence.tracks.heardBeat;
  if (!track || cases.length === 0) return [];
  const odds = cases.map(({ bar: { beats } }) => {
    return beats.reduce((sum, time) => sum + heardNear(track, time, HEARD_NEAR), 0) / beats.length;
  });
  const usual = median(odds);
  const found: FaintStretch[] = [];
  let next = 0;
  for (const core of runsBelow(odds, FAINT)) {
    const mean = core.reduce((sum, at) => sum + (odds[at] as number), 0) / core.length;
    if (core.length < FEWEST || mean > NO_PULSE || mean > usual - BELOW_USUAL) continue;
    let [first, last] = [core[0] as number, core[core.length - 1] as number];
    while (first > next && (odds[first - 1] as number) < usual - BESIDE) first--;
    while (last + 1 < cases.length && (odds[last + 1] as number) < usual - BESIDE) last++;
    const from = (cases[first] as BarCase).bar.start;
    const to = cases[last + 1]?.bar.start ?? locks.end;
    if (first < next || to - from < SHORTEST || saysAnything(locks, from, to)) continue;
    found.push({ first, last, doubt: freeDoubt(cases.slice(first, last + 1), from, to, mean) });
    next = last + 1;
  }
  return found;
}

/** Places of neighbouring values below `limit`. */
function runsBelow(values: readonly number[], limit: number): number[][] {
  const runs: number[][] = [];
  values.forEach((value, i) => {
    if (value >= limit) return;
    if (i > 0 && (values[i - 1] as number) < limit) runs[runs.length - 1]?.push(i);
    else runs.push([i]);
  });
  return runs;
}

function freeDoubt(run: readonly BarCase[], from: number, to: number, mean: number): Doubt {
  const [first, last] = [run[0] as BarCase, run[run.length - 1] as BarCase];
  const lines = run.map(({ bar }) => bar).filter((bar: Bar) => !bar.pickup);
  return {
    time: from,
    weight: Math.min(0.8, WEIGHT + EACH * Math.max(0, NO_PULSE - mean)),
    kind: 'free',
    text: msg(str`Bars ${first.number || 1} to ${last.number}: hardly a steady beat is heard. Free time?`),
    keep: [{ kind: 'bar-lines', starts: lines.map(({ start }) => start) }],
    other: [{ kind: 'free', from, to }],
  };
}

function saysAnything(locks: RhythmLocks, from: number, to: number): boolean {
  const inside = (time: number): boolean => time >= from - 1e-6 && time < to - 1e-6;
  return locks.beats.some(inside) || locks.free.some((free) => free.to > from && free.from < to);
}
