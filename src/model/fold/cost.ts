/**
 * What signs cost, in bars: a fold is made only when it saves more bars than its signs cost. There is no published
 * table; the figures say what a player puts up with (common practice, no source): a repeat of two bars played twice, or
 * of one bar played four times, is easier written out; endings ask for more than a plain repeat, a jump for much more.
 */

/** Longest ending, in bars. */
export const LONGEST_ENDING = 8;
/** Most endings of one repeat. */
export const MOST_ENDINGS = 4;
/** Fewest bars that a jump plays again. */
export const SHORTEST_REPLAY = 4;

/** `|: :|` around so many bars. */
export function repeatCost(bars: number, passes: number): number {
  const signs = bars === 1 ? 3 : bars === 2 ? 2 : 1.5;
  return passes > 2 ? signs + 0.25 : signs;
}

/**
 * `|: [1. :| [2. ]`; `mixed` endings are for passes that do not follow one another (1. 3.), `headed` ones begin a section
 * under their bracket, which is a poor place for one.
 */
export function endingsCost(endings: number, mixed: number, headed: number): number {
  return 2.5 + (endings - 2) + mixed + 3.5 * headed;
}

/** A jump and the signs it needs. */
export function jumpCost(jump: { readonly segno: boolean; readonly coda: boolean }): number {
  return 4 + (jump.segno ? 1 : 0) + (jump.coda ? 1 : 0);
}

/** On top where the jump says "with repeats", which is easily overlooked on the stand; where a segno, Coda or Fine sign stands inside a repeat. */
export const WITH_REPEATS = 4;
export const INSIDE_REPEAT = 0.75;
/** On top where Coda or Fine is not at the end of a section. */
export const INSIDE_SECTION = 0.5;
/** On top of a last ending that is neither as long as the first nor up to the end of its section. */
export const ODD_ENDING = 0.05;
