import type { Section } from '../../model/song-map.js';
import { mod12 } from '../../music/pitch.js';
import type { BarSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';
import { alignPasses } from '../passes/align-passes.js';
import type { PassBars } from './pass-bars.js';
import type { HeardChords } from './heard-likelihoods.js';
import { rememberedPasses } from './remembered-passes.js';
import { CHORD_STATES, movedState } from './vocabulary.js';

export const POOL_MODEL = {
  /** Log odds that two aligned bars have the same chords before they are compared, and how much each beat's likeness changes them. */
  same: 1,
  likeness: 0.5,
  /** 0: aligned beats are averaged; 1: each counts as a witness of its own. Passes share their sounds, so it lies between. */
  independence: 0.3,
};

/** The passes of each section that comes more than once: sections of one letter. */
export function passGroups(sections: readonly Section[], bars: readonly BarSlot[]): PassBars[][] {
  const byLetter = new Map<string, PassBars[]>();
  sections.forEach(({ letter, start }, i) => {
    const next = sections[i + 1]?.start ?? Infinity;
    const own = bars.flatMap((bar, b) =>
      bar.start >= start - 1e-3 && bar.start < next - 1e-3 && !bar.bar.pickup ? [b] : [],
    );
    const first = own[0];
    if (letter === '' || first === undefined) return;
    byLetter.set(letter, [...(byLetter.get(letter) ?? []), { first, last: own[own.length - 1] as number }]);
  });
  return [...byLetter.values()].filter((passes) => passes.length > 1);
}

/** Bars that stand for each other in the passes of a section. */
export type AlignedColumn = readonly AlignedBar[];

export interface AlignedBar {
  /** Index of the bar. */
  readonly bar: number;
  /** Semitones of its pass above the section's first. */
  readonly shift: number;
}

/** The columns of the passes of `groups`, each section's aligned bar to bar, that hold a bar from `first` to `last`. */
export function alignedColumns(
  evidence: Evidence,
  bars: readonly BarSlot[],
  groups: readonly (readonly PassBars[])[],
  { first, last }: PassBars,
): AlignedColumn[] {
  const touched = groups.filter((passes) => passes.some((pass) => pass.first <= last && pass.last >= first));
  return touched.flatMap((passes) =>
    groupColumns(evidence, bars, passes).filter((column) => column.some(({ bar }) => bar >= first && bar <= last)),
  );
}

/** The columns of one section's passes, found once for those passes over those bars. */
const columnsOf = new WeakMap<
  readonly PassBars[],
  { readonly bars: readonly BarSlot[]; readonly columns: readonly AlignedColumn[] }
>();

function groupColumns(
  evidence: Evidence,
  bars: readonly BarSlot[],
  passes: readonly PassBars[],
): readonly AlignedColumn[] {
  const known = columnsOf.get(passes);
  if (known?.bars === bars) return known.columns;
  const { unrelated, soundsOf, align } = rememberedPasses(evidence, bars);
  const { columns, shifts } = alignPasses(passes.map(soundsOf), unrelated, (i, j) =>
    align(passes[i] as PassBars, passes[j] as PassBars),
  );
  const placed = columns.map((column) =>
    column.flatMap((bar, pass): AlignedBar[] =>
      bar === null ? [] : [{ bar: bar + (passes[pass] as PassBars).first, shift: shifts[pass] ?? 0 }],
    ),
  );
  const shared = placed.filter((column) => column.length > 1);
  columnsOf.set(passes, { bars, columns: shared });
  return shared;
}

/**
 * Chord likelihoods of the beats of the bars from `first` to `last` in which the passes of a section speak for each other.
 * Aligned beats are averaged (Mauch, Noland & Dixon, ISMIR 2009), each other pass by the probability that its bar has the same
 * chords, judged from what is heard in both: so an unclear pass learns from a clear one, and a bar that really differs keeps its
 * own. Passes in another key are moved.
 *
 * `rows`: what is heard on each beat of those bars and of the columns'; `beatsOf`: first beat and number of
 * beats of each bar; `shares`: how common each state is, log-probabilities. Returns [beats x CHORD_STATES].
 */
export function poolPasses(
  rows: ReadonlyMap<number, HeardChords>,
  columns: readonly AlignedColumn[],
  beatsOf: readonly BeatRange[],
  shares: Float64Array,
  { first, last }: PassBars,
): Float64Array {
  const size = CHORD_STATES.length;
  const opening = beatsOf[first] as BeatRange;
  const closing = beatsOf[last] as BeatRange;
  const count = closing.beat + closing.beats - opening.beat;
  const pool: Pool = { rows, shares, weights: shares.map((share) => Math.exp(-share)) };
  const out = new Float64Array(count * size);
  for (let k = 0; k < count; k++) out.set((rows.get(opening.beat + k) as HeardChords).logs, k * size);
  for (const column of columns) {
    const placed = column.map(({ bar, shift }): PlacedBar => ({ bar, shift, ...(beatsOf[bar] as BeatRange) }));
    for (const bar of placed)
      if (bar.bar >= first && bar.bar <= last) poolBar(pool, out, bar.beat - opening.beat, bar, placed);
  }
  return out;
}

/** The beats of a bar among all beats. */
export interface BeatRange {
  readonly beat: number;
  readonly beats: number;
}

type PlacedBar = AlignedBar & BeatRange;

interface Pool {
  readonly rows: ReadonlyMap<number, HeardChords>;
  readonly shares: Float64Array;
  /** One over the probabilities of `shares`. */
  readonly weights: Float64Array;
}

/** Writes what bar and column say of the bar's beats into `out`, from its row `at` on. */
function poolBar(pool: Pool, out: Float64Array, at: number, bar: PlacedBar, column: readonly PlacedBar[]): void {
  const { rows, shares } = pool;
  const size = CHORD_STATES.length;
  const others = column.filter((other) => other !== bar);
  const weights = others.map((other) => sameChords(pool, bar, other));
  const sum = new Float64Array(size);
  for (let k = 0; k < bar.beats; k++) {
    let weight = 0;
    sum.fill(0);
    for (let i = 0; i < others.length; i++) {
      const other = others[i] as PlacedBar;
      if (k >= other.beats) continue;
      const { logs } = rows.get(other.beat + k) as HeardChords;
      const own = weights[i] as number;
      weight += own;
      if (other.shift === bar.shift) {
        for (let s = 0; s < size; s++)
          sum[s] = (sum[s] as number) + own * ((logs[s] as number) - (shares[s] as number));
        continue;
      }
      const moved = movedStates(other.shift - bar.shift);
      for (let s = 0; s < size; s++) {
        const m = moved[s] as number;
        sum[s] = (sum[s] as number) + own * ((logs[m] as number) - (shares[m] as number));
      }
    }
    const scale = (1 + weight) ** (POOL_MODEL.independence - 1);
    const { logs: mine } = rows.get(bar.beat + k) as HeardChords;
    for (let s = 0; s < size; s++) {
      const share = shares[s] as number;
      out[(at + k) * size + s] = share + scale * ((mine[s] as number) - share + (sum[s] as number));
    }
  }
}

/** Probability that two bars have the same chords: of each beat, how likely both are to be heard from one chord rather than from two. */
function sameChords(pool: Pool, a: PlacedBar, b: PlacedBar): number {
  const { rows, weights } = pool;
  const beats = Math.min(a.beats, b.beats);
  const moved = movedStates(b.shift - a.shift);
  let odds = POOL_MODEL.same;
  for (let k = 0; k < beats; k++) {
    const { likely: one } = rows.get(a.beat + k) as HeardChords;
    const { likely: other } = rows.get(b.beat + k) as HeardChords;
    let both = 0;
    if (a.shift === b.shift)
      for (let s = 0; s < one.length; s++) both += (one[s] as number) * (other[s] as number) * (weights[s] as number);
    else
      for (let s = 0; s < one.length; s++)
        both += (one[s] as number) * (other[moved[s] as number] as number) * (weights[s] as number);
    odds += POOL_MODEL.likeness * Math.log(Math.max(1e-9, both));
  }
  return 1 / (1 + Math.exp(-odds));
}

const moves: Int32Array[] = [];

/** For each state the one so many semitones above. */
function movedStates(semitones: number): Int32Array {
  return (moves[mod12(semitones)] ??= Int32Array.from(CHORD_STATES, (_, s) => movedState(s, semitones)));
}
