import { msg, str } from '@lit/localize';
import type { Meter } from '../../music/meter.js';
import type { BarIndex, Seconds } from '../../music/units.js';

/**
 * A chart as it is written: fewer bars than are played, with the signs that send the player back. What the signs mean
 * is what engravers mean by them (after Gould, Behind Bars, 2011, from memory):
 *
 * - `|:` and `:|` enclose what is repeated; repeats do not lie in one another. `:|` without a number is played twice.
 * - Endings are numbered with the passes they are for and stand directly behind one another; the last pass's is last.
 * - D.C. goes back to the first bar, D.S. to the segno; then repeats are not taken (the last pass, with its ending, is
 *   played) unless the jump says so. "To Coda" and "Fine" count only after the jump. A chart has one jump at most.
 *
 * All of it is plain JSON. `unfold` reads it back.
 */
export interface WrittenChart {
  readonly items: readonly WrittenItem[];
  /** Bars on paper and bars played; a pickup and free stretches are not counted. */
  readonly written: number;
  readonly played: number;
}

export type WrittenItem = WrittenBar | WrittenFree;

export interface WrittenBar extends Signs {
  readonly kind: 'bar';
  readonly meter: Meter;
  /** The incomplete bar before the first beat 1; only the first item. */
  readonly pickup?: true;
  /** What sounds in the bar, ascending: the first on beat 0, unless no chord has begun by then. */
  readonly chords: readonly WrittenChord[];
  /** The sections that begin here; empty when none does. */
  readonly heads: readonly SectionHead[];
  /** The map's bars it stands for, in the order played: never empty, one for each time it is played. */
  readonly bars: readonly BarIndex[];
}

/** A stretch without a steady beat, written as such; it is played once. */
export interface WrittenFree extends Signs {
  readonly kind: 'free';
  readonly length: Seconds;
  /** What sounds in it, by seconds from its start. */
  readonly chords: readonly { readonly harte: string; readonly after: Seconds }[];
  /** Its place among the map's spans. */
  readonly span: number;
}

export interface WrittenChord {
  /** Harte syntax, as spelled the first time the bar is played. */
  readonly harte: string;
  /** Place in the bar in beats from 0, to a 24th of a beat. */
  readonly beat: number;
  /** It goes on from the bar before every time the bar is played, so that it need not be printed. */
  readonly held?: true;
}

/** The beginning of a section. */
export interface SectionHead {
  readonly name: string;
  readonly letter: string;
  readonly swing?: number;
  /**
   * The times through this bar, from 1 over the whole song, at which the section begins; absent: every time. A verse
   * whose first line is repeated begins only the first time; "Verse 1" and "Verse 2" may share bars.
   */
  readonly times?: readonly number[];
}

/** Signs at an item: those before it, then those behind it. */
export interface Signs {
  readonly segno?: true;
  readonly coda?: true;
  /** `|:` before the item. */
  readonly repeatStart?: true;
  /** The bracket the item lies under. */
  readonly ending?: Ending;
  /** `:|` behind the item: back to the last `|:` until everything from there was played so many times; 2 or more. */
  readonly repeatEnd?: { readonly times: number };
  /** "To Coda" behind the item. */
  readonly toCoda?: true;
  /** "Fine" behind the item. */
  readonly fine?: true;
  /** Behind the item: back, then on until Coda or Fine. */
  readonly jump?: Jump;
}

export interface Ending {
  /** Passes it is for, from 1, ascending. */
  readonly passes: readonly number[];
  /** The bracket begins at this item, ends behind it. */
  readonly begins?: true;
  readonly ends?: true;
}

export interface Jump {
  /** D.C. or D.S. */
  readonly to: 'start' | 'segno';
  readonly until: 'coda' | 'fine';
  /** Repeats are taken again on the way. */
  readonly withRepeats?: true;
}

/** As printed: "D.S. al Coda", "D.C. al Fine (with repeats)". */
export function jumpText({ to, until, withRepeats }: Jump): string {
  const capo = until === 'coda' ? msg('D.C. al Coda') : msg('D.C. al Fine');
  const segno = until === 'coda' ? msg('D.S. al Coda') : msg('D.S. al Fine');
  const words = to === 'start' ? capo : segno;
  return withRepeats ? msg(str`${words} (with repeats)`) : words;
}

/** As printed over a bracket: "1.", "1.–3.", "1. 3.". */
export function endingText({ passes }: Ending): string {
  const [first] = passes;
  const last = passes.at(-1);
  if (first === undefined || last === undefined) return '';
  const run = passes.length > 2 && last - first === passes.length - 1;
  return run ? `${first}.–${last}.` : passes.map((pass) => `${pass}.`).join(' ');
}

/**
 * What is printed over an item where a section begins, its names in the order they come, each once: "Verse 1 / Verse 2".
 * Behind a pickup it stands over the first whole bar, where the repeats begin. Empty where none begins.
 */
export function labelAt(items: readonly WrittenItem[], place: number): string {
  const [item, before] = [items[place], items[place - 1]];
  if (item?.kind !== 'bar' || (item.pickup && items[place + 1]?.kind === 'bar')) return '';
  const early = before?.kind === 'bar' && before.pickup ? before.heads : [];
  return [...new Set([...early, ...item.heads].map((head) => head.name))].join(' / ');
}
