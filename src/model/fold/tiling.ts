import type { Repeat } from './repeats.js';

/** A piece of the chart: an item as it is, or a repeat. */
export type Piece =
  { readonly kind: 'item'; readonly place: number } | { readonly kind: 'repeat'; readonly repeat: Repeat };

/** The cheapest ways to write a stretch of the song that ends (or begins) at one place. */
export interface Tilings {
  /** Cost of the stretch between the fixed place and this one; Infinity when it lies on the wrong side. */
  readonly cost: (place: number) => number;
  /** The pieces of that stretch, in order. */
  readonly pieces: (place: number) => readonly Piece[];
}

/** The stretches that end before `end`, by dynamic programming from the back. */
export function tilingsTo(repeats: readonly (readonly Repeat[])[], end: number): Tilings {
  const costs = new Float64Array(repeats.length + 1).fill(Infinity);
  const chosen: (Repeat | undefined)[] = [];
  costs[end] = 0;
  for (let place = end - 1; place >= 0; place--) {
    let cost = 1 + (costs[place + 1] as number);
    for (const repeat of repeats[place] ?? []) {
      if (repeat.end > end) continue;
      const total = repeat.cost + (costs[repeat.end] as number);
      // Written out where it is no dearer.
      if (total < cost - 1e-9) {
        cost = total;
        chosen[place] = repeat;
      }
    }
    costs[place] = cost;
  }
  return {
    cost: (place) => costs[place] ?? Infinity,
    pieces: (from) => {
      const pieces: Piece[] = [];
      for (let place = from; place < end;) {
        const repeat = chosen[place];
        pieces.push(repeat ? { kind: 'repeat', repeat } : { kind: 'item', place });
        place = repeat?.end ?? place + 1;
      }
      return pieces;
    },
  };
}

/** The stretches that begin at `start`, by dynamic programming from the front. */
export function tilingsFrom(repeats: readonly (readonly Repeat[])[], start: number): Tilings {
  const size = repeats.length;
  const costs = new Float64Array(size + 1).fill(Infinity);
  const last: (Repeat | undefined)[] = [];
  costs[start] = 0;
  for (let place = start; place < size; place++) {
    const cost = costs[place] as number;
    if (cost + 1 <= (costs[place + 1] as number) + 1e-9) {
      costs[place + 1] = cost + 1;
      last[place + 1] = undefined;
    }
    for (const repeat of repeats[place] ?? []) {
      if (cost + repeat.cost >= (costs[repeat.end] as number) - 1e-9) continue;
      costs[repeat.end] = cost + repeat.cost;
      last[repeat.end] = repeat;
    }
  }
  return {
    cost: (place) => costs[place] ?? Infinity,
    pieces: (to) => {
      const pieces: Piece[] = [];
      for (let place = to; place > start;) {
        const repeat = last[place];
        pieces.push(repeat ? { kind: 'repeat', repeat } : { kind: 'item', place: place - 1 });
        place = repeat?.start ?? place - 1;
      }
      return pieces.reverse();
    },
  };
}
