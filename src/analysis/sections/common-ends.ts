/** How many items two lists share at their beginnings, and how many of the rest at their ends. */
export interface CommonEnds {
  readonly head: number;
  readonly tail: number;
}

export function commonEnds<T>(a: ArrayLike<T>, b: ArrayLike<T>, same: (a: T, b: T) => boolean): CommonEnds {
  const shorter = Math.min(a.length, b.length);
  let head = 0;
  while (head < shorter && same(a[head] as T, b[head] as T)) head++;
  let tail = 0;
  while (tail < shorter - head && same(a[a.length - 1 - tail] as T, b[b.length - 1 - tail] as T)) tail++;
  return { head, tail };
}

/** Answers for lists that were asked about before, newest first. */
export interface Remembered<T, A> {
  readonly entries: { readonly list: ArrayLike<T>; readonly answer: A }[];
}

/** So many lists are kept: the stretches of a song and an edit or two. */
const KEPT = 6;

/** The remembered list that shares most with `list`. */
export function mostAlike<T, A>(
  { entries }: Remembered<T, A>,
  list: ArrayLike<T>,
  same: (a: T, b: T) => boolean,
): (CommonEnds & { readonly list: ArrayLike<T>; readonly answer: A }) | undefined {
  let best: (CommonEnds & { readonly list: ArrayLike<T>; readonly answer: A }) | undefined;
  for (const entry of entries) {
    const ends = commonEnds(entry.list, list, same);
    if (!best || ends.head + ends.tail > best.head + best.tail) best = { ...entry, ...ends };
    if (ends.head + ends.tail === list.length) break;
  }
  return best;
}

export function remember<T, A>({ entries }: Remembered<T, A>, list: ArrayLike<T>, answer: A): void {
  entries.unshift({ list, answer });
  entries.length = Math.min(entries.length, KEPT);
}

/** The memory that belongs to `key`, empty at first. */
export function memoryOf<K extends object, T, A>(all: WeakMap<K, Remembered<T, A>>, key: K): Remembered<T, A> {
  let memory = all.get(key);
  if (!memory) all.set(key, (memory = { entries: [] }));
  return memory;
}
