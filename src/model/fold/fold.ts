import type { ChartOptions } from '../chart-options.js';
import type { SongMap } from '../song-map.js';
import { bestPlan } from './jumps.js';
import { likenessOf } from './likeness.js';
import { linearItems } from './linear.js';
import { repeatsByStart } from './repeats.js';
import { writeChart } from './write-chart.js';
import type { WrittenChart } from './written-chart.js';

/** What may be folded. */
export interface FoldOptions {
  /**
   * `across` (the usual): repeats of one or more whole sections, repeats inside a section, and one jump. `plain`: only
   * what any program that reads scores plays right: repeats of one whole section, or of half a section, with a first and a
   * second ending at most, and one jump without repeats whose signs stand at no repeat. `off`: every bar is written.
   */
  readonly folding?: Folding;
  /** False: nobody has to jump (D.C., D.S., coda); repeats are as `folding` says. */
  readonly jumps?: boolean;
}

export type Folding = 'across' | 'plain' | 'off';

/** What the settings of a chart ask for. */
export function foldingOf({ folded, jumps }: Pick<ChartOptions, 'folded' | 'jumps'>): FoldOptions {
  return { folding: folded ? 'across' : 'off', jumps };
}

/**
 * The shortest chart of a map that a player can follow, by the costs in cost.ts; `unfold` gives the bars back.
 *
 * Written bars stand for bars of the same time signature with chords of the same sound on the same beats (spelling and
 * confidence do not count), in sections of the same letter and swing; names may differ ("Verse 1", "Verse 2"): the
 * chart carries each. A chord that goes on over the bar line and the same chord begun there are the same.
 *
 * Repeats are chosen by dynamic programming over all that could be written; a jump is the best of all pairs of section
 * starts that it could join.
 */
export function fold(map: SongMap, options: FoldOptions = {}): WrittenChart {
  const { folding = 'across', jumps = true } = options;
  const items = linearItems(map);
  const like = likenessOf(items);
  if (folding === 'off')
    return writeChart(
      items,
      bestPlan(
        like,
        items.map(() => []),
        'none',
      ),
    );
  const plain = folding === 'plain';
  return writeChart(items, bestPlan(like, repeatsByStart(like, { plain }), !jumps ? 'none' : plain ? 'plain' : 'any'));
}
