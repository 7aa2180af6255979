import { likenessKey, type LinearItem } from './linear.js';

/** Which stretches of the song are alike, and where its sections begin and end. Places are places of items. */
export interface Likeness {
  readonly size: number;
  /** How many different items there are. */
  readonly kinds: number;
  /** Sections begin here: at a pickup also the bar after it, where a repeat can begin. */
  readonly starts: (place: number) => boolean;
  /** True at the end of the song, of a section, and before and behind a free stretch. */
  readonly edge: (place: number) => boolean;
  /** End of the section at a place: where the next one or a free stretch begins. */
  readonly sectionEnd: (place: number) => number;
  /** End of the stretch of bars at a place: the next free stretch or the end of the song. */
  readonly barsEnd: (place: number) => number;
  /** For how many items the stretches from two places are alike, sections beginning at the same bars of both. */
  readonly run: (a: number, b: number) => number;
  /** The same without asking where sections begin. */
  readonly looseRun: (a: number, b: number) => number;
}

export function likenessOf(items: readonly LinearItem[]): Likeness {
  const size = items.length;
  const ids = new Map<string, number>();
  const kinds = Int32Array.from(items, (item, i) => {
    const key = likenessKey(item);
    if (key === undefined) return -1 - i;
    if (!ids.has(key)) ids.set(key, ids.size);
    return ids.get(key) as number;
  });
  const free = items.map((item) => item.kind === 'free');
  const begins = items.map((item, i) => {
    const before = items[i - 1];
    return item.kind === 'bar' && (item.starts || (before?.kind === 'bar' && before.pickup));
  });
  const sectionEnds = new Int32Array(size + 1).fill(size);
  const barsEnds = new Int32Array(size + 1).fill(size);
  for (let i = size - 1; i >= 0; i--) {
    const own = free[i] ? i : undefined;
    barsEnds[i] = own ?? (barsEnds[i + 1] as number);
    const next = items[i + 1];
    sectionEnds[i] = own ?? (next?.kind === 'bar' && next.starts ? i + 1 : (sectionEnds[i + 1] as number));
  }
  const strict = runs(size, (a, b) => kinds[a] === kinds[b] && begins[a] === begins[b]);
  const loose = runs(size, (a, b) => kinds[a] === kinds[b]);
  return {
    size,
    kinds: new Set(kinds).size,
    starts: (place) => begins[place] ?? false,
    edge: (place) => place >= size || (begins[place] ?? false) || (free[place] ?? false) || (free[place - 1] ?? false),
    sectionEnd: (place) => sectionEnds[place] ?? size,
    barsEnd: (place) => barsEnds[place] ?? size,
    run: strict,
    looseRun: loose,
  };
}

function runs(size: number, alike: (a: number, b: number) => boolean): (a: number, b: number) => number {
  const width = size + 1;
  const table = new Uint16Array(width * width);
  for (let a = size - 1; a >= 0; a--)
    for (let b = size - 1; b > a; b--)
      if (alike(a, b)) table[a * width + b] = (table[(a + 1) * width + b + 1] ?? 0) + 1;
  return (a, b) => (a < b ? (table[a * width + b] ?? 0) : (table[b * width + a] ?? 0));
}
