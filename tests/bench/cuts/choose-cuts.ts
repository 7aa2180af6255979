import { seeded, type Random } from '../random-edits.js';
import { percentile } from '../statistics.js';
import type { Strike } from './cut-sound.js';
import { FADE } from './cut-sound.js';
import { barPlaces, type Cut, type SongTruth } from './cut-truth.js';

/** Where in the bar a cut lies: up to its end, between its beats, or over the bar line. */
export type Where = 'end' | 'within' | 'across';

/** A cut, and where its sound is cut: from `out` seconds it goes on at `into`. */
export interface PlacedCut extends Cut {
  readonly where: Where;
  /** Number of the bar, from 1. */
  readonly bar: number;
  readonly out: number;
  readonly into: number;
}

/** What happens in the five variants of a song, in an order that is drawn. */
const KINDS: readonly { readonly action: Cut['action']; readonly where: Where; readonly counts: readonly number[] }[] =
  [
    { action: 'remove', where: 'end', counts: [1, 2, 3] },
    { action: 'remove', where: 'within', counts: [1, 2] },
    { action: 'remove', where: 'across', counts: [2, 3] },
    { action: 'repeat', where: 'end', counts: [1, 2, 3] },
    { action: 'repeat', where: 'within', counts: [1, 2] },
  ];

/** Bars at either end of the song, and around bars of another length, that stay as they are. */
const ENDS = 4;
const APART = 2;
/** The attacks on both sides of a cut lie equally far from the grid, to so many seconds: nothing stumbles. */
const ALIKE = 0.01;
/** Seconds before the attack at which the fade is over. */
const CLEAR = 0.002;

/**
 * Five cuts of a song, one for each kind, each in another fifth of the song, so that verse and refrain, thin and full
 * playing get their share. The beats on both sides are struck more sharply than the song's middle beat. The same seed
 * gives the same cuts.
 */
export function chooseCuts(truth: SongTruth, strikes: readonly Strike[], seed: number): PlacedCut[] {
  const random = seeded(seed);
  const kinds = shuffled(KINDS, random);
  const middle = percentile(
    strikes.map(({ rise }) => rise),
    0.5,
  );
  const offset = (i: number): number => (strikes[i] as Strike).time - (truth.beats[i] as readonly [number, number])[0];
  const sharp = (i: number): number => (strikes[i] as Strike).rise;
  const clean = ({ first, count }: Cut): boolean => {
    const [a, b] = [first, first + count];
    return Math.min(sharp(a), sharp(b)) >= middle && Math.abs(offset(a) - offset(b)) <= ALIKE;
  };
  const usable = usableBars(truth);
  const places = barPlaces(truth);
  return kinds.map((kind, part) => {
    const own = usable.slice(
      Math.floor((part * usable.length) / kinds.length),
      Math.floor(((part + 1) * usable.length) / kinds.length),
    );
    const all = own.flatMap((bar) =>
      kind.counts.flatMap((count) =>
        stretches(places, bar, kind.where, count).map((first) => ({ ...kind, first, count, bar })),
      ),
    );
    if (all.length === 0) throw new RangeError('chooseCuts: the song has too few whole bars');
    const good = all.filter(clean);
    const worth = ({ first, count }: Pick<Cut, 'first' | 'count'>): number => sharp(first) + sharp(first + count);
    const best = all.reduce((one, other) => (worth(other) > worth(one) ? other : one));
    const pool = good.length > 0 ? good : [best];
    // The number of beats first, so that places which are commoner with one number do not decide it.
    const { count } = drawn([...new Map(pool.map((one) => [one.count, one])).values()], random);
    const { action, where, first, bar } = drawn(
      pool.filter((one) => one.count === count),
      random,
    );
    const from = (truth.beats[first] as readonly [number, number])[0];
    const to = (truth.beats[first + count] as readonly [number, number])[0];
    // What comes in begins with its attack whole.
    const shift = offset(action === 'remove' ? first + count : first) - FADE / 2 - CLEAR;
    const [out, into] = action === 'remove' ? [from, to] : [to, from];
    return { action, where, first, count, bar: bar + 1, out: out + shift, into: into + shift };
  });
}

/** Bars of the usual length with such ones around them, the first and last few of the song left out. */
function usableBars({ bars, beats_per_bar, either }: SongTruth): number[] {
  const odd = bars.map(
    ([start, beats]) =>
      beats !== beats_per_bar || (either ?? []).some(({ from, to }) => start >= from - 0.01 && start < to - 0.01),
  );
  return bars.flatMap((_, i) => {
    const near = odd.slice(Math.max(0, i - APART), i + APART + 1);
    return i < ENDS || i >= bars.length - ENDS || near.includes(true) ? [] : [i];
  });
}

/** Places of the first beats of all stretches of `count` beats that lie so in the bar. */
function stretches(places: readonly number[], bar: number, where: Where, count: number): number[] {
  const [start, next] = [places[bar] as number, places[bar + 1] as number];
  const size = next - start;
  const all = Array.from({ length: size }, (_, i) => start + i);
  if (where === 'end') return count < size ? [next - count] : [];
  // Without its beat 1 a bar could not be told from the one before; so within means after that.
  if (where === 'within') return all.filter((first) => first > start && first + count < next);
  const after = (first: number): number => first + count - next;
  // What remains of both bars must not make up a usual one: nothing would be to find.
  return all.filter((first) => first > start && after(first) >= 1 && after(first) < size && size !== count);
}

function drawn<T>(list: readonly T[], random: Random): T {
  return list[Math.floor(random() * list.length)] as T;
}

function shuffled<T>(list: readonly T[], random: Random): T[] {
  const out = [...list];
  for (let i = out.length - 1; i > 0; i--) {
    const j = Math.floor(random() * (i + 1));
    [out[i], out[j]] = [out[j] as T, out[i] as T];
  }
  return out;
}
