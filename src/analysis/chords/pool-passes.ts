import type { Section } from '../../model/song-map.js';
import type { BarSlot } from '../bar-grid.js';
import type { Evidence } from '../evidence.js';
import { alignPasses } from '../passes/align-passes.js';
import { rememberedPasses } from './remembered-passes.js';
import { CHORD_STATES, movedState } from './vocabulary.js';

export const POOL_MODEL = {
  /** Log odds that two aligned bars have the same chords before they are compared, and how much each beat's likeness changes them. */
  same: 1,
  likeness: 0.5,
  /** 0: aligned beats are averaged; 1: each counts as a witness of its own. Passes share their sounds, so it lies between. */
  independence: 0.3,
};

/** First and last bar of a pass, both included. */
export interface PassBars {
  readonly first: number;
  readonly last: number;
}

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
  const { unrelated, soundsOf, align } = rememberedPasses(evidence, bars);
  return touched.flatMap((passes) => {
    const { columns, shifts } = alignPasses(passes.map(soundsOf), unrelated, (i, j) =>
      align(passes[i] as PassBars, passes[j] as PassBars),
    );
    const placed = columns.map((column) =>
      column.flatMap((bar, pass): AlignedBar[] =>
        bar === null ? [] : [{ bar: bar + (passes[pass] as PassBars).first, shift: shifts[pass] ?? 0 }],
      ),
    );
    return placed.filter((column) => column.length > 1 && column.some(({ bar }) => bar >= first && bar <= last));
  });
}

/**
 * Chord likelihoods of the bars from `first` to `last` in which the passes of a section speak for each other. Aligned beats are
 * averaged (Mauch, Noland & Dixon, ISMIR 2009), each other pass by the probability that its bar has the same chords, judged from
 * what is heard in both: so an unclear pass learns from a clear one, and a bar that really differs keeps its own. Passes in another
 * key are moved.
 *
 * `scores`: log-probabilities [beats x CHORD_STATES]; `beatsOf`: first beat and number of beats of each bar; `shares`: how common
 * each state is, log-probabilities.
 */
export function poolPasses(
  scores: Float64Array,
  columns: readonly AlignedColumn[],
  beatsOf: readonly BeatRange[],
  shares: Float64Array,
  { first, last }: PassBars,
): Float64Array {
  const out = scores.slice();
  for (const column of columns) {
    const placed = column.map(({ bar, shift }): PlacedBar => ({ bar, shift, ...(beatsOf[bar] as BeatRange) }));
    for (const bar of placed) if (bar.bar >= first && bar.bar <= last) poolBar(scores, out, bar, placed, shares);
  }
  return out;
}

/** The beats of a bar among all beats. */
export interface BeatRange {
  readonly beat: number;
  readonly beats: number;
}

type PlacedBar = AlignedBar & BeatRange;

function poolBar(
  scores: Float64Array,
  out: Float64Array,
  bar: PlacedBar,
  column: readonly PlacedBar[],
  shares: Float64Array,
): void {
  const size = CHORD_STATES.length;
  const others = column.filter((other) => other !== bar);
  const weights = others.map((other) => sameChords(scores, bar, other, shares));
  for (let k = 0; k < bar.beats; k++) {
    const row = (bar.beat + k) * size;
    let weight = 0;
    const sum = new Float64Array(size);
    others.forEach((other, i) => {
      if (k >= other.beats) return;
      const up = other.shift - bar.shift;
      const from = (other.beat + k) * size;
      weight += weights[i] as number;
      for (let s = 0; s < size; s++) {
        const moved = movedState(s, up);
        sum[s] =
          (sum[s] as number) + (weights[i] as number) * ((scores[from + moved] as number) - (shares[moved] as number));
      }
    });
    const scale = (1 + weight) ** (POOL_MODEL.independence - 1);
    for (let s = 0; s < size; s++) {
      const mine = (scores[row + s] as number) - (shares[s] as number);
      out[row + s] = (shares[s] as number) + scale * (mine + (sum[s] as number));
    }
  }
}

/** Probability that two bars have the same chords: of each beat, how likely both are to be heard from one chord rather than from two. */
function sameChords(scores: Float64Array, a: PlacedBar, b: PlacedBar, shares: Float64Array): number {
  const size = CHORD_STATES.length;
  const beats = Math.min(a.beats, b.beats);
  const up = b.shift - a.shift;
  let odds = POOL_MODEL.same;
  for (let k = 0; k < beats; k++) {
    let both = 0;
    for (let s = 0; s < size; s++) {
      const other = scores[(b.beat + k) * size + movedState(s, up)] as number;
      both += Math.exp((scores[(a.beat + k) * size + s] as number) + other - (shares[s] as number));
    }
    odds += POOL_MODEL.likeness * Math.log(Math.max(1e-9, both));
  }
  return 1 / (1 + Math.exp(-odds));
}
