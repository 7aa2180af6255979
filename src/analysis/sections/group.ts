import { alignGlobally } from '../passes/needleman-wunsch.js';
import type { BarLikeness } from './bar-likeness.js';

export const GROUP_MODEL = {
  /** Passages at least this alike are the same section. */
  threshold: 0.32,
  /** Costs of bars without a partner while two passages are aligned, where unlike bars cost 1. */
  gaps: { open: 2, extend: 0.65, openEdge: 0.9 },
  /** Share of the harmony in the likeness, the rest is sound. */
  harmony: 0.7,
  /** Another key is tried where it makes the harmony this much more alike, and costs this. */
  keyGain: 0.15,
  otherKey: 0.03,
};

/**
 * Group number of each passage, numbered by first appearance. `starts` are first bars, the first 0. Passages are
 * joined, the most alike first, while the mean likeness between two groups stays above a threshold. Passages with the
 * same letter in `letters` are together from the start, those with different ones never; undefined is free.
 */
export function groupPassages(
  likeness: BarLikeness,
  starts: readonly number[],
  letters: readonly (string | undefined)[] = [],
): number[] {
  const count = starts.length;
  const ends = starts.map((_, i) => starts[i + 1] ?? likeness.size);
  const alike = starts.map((a, i) =>
    starts.map((b, j) => (i === j ? 1 : passageLikeness(likeness, a, ends[i] as number, b, ends[j] as number))),
  );
  let groups = lettered(count, letters);
  const letter = (group: readonly number[]): string | undefined => letters[group[0] ?? 0];
  for (;;) {
    let best = GROUP_MODEL.threshold;
    let pair: readonly [number, number] | undefined;
    groups.forEach((a, i) => {
      groups.forEach((b, j) => {
        if (j <= i || (letter(a) !== undefined && letter(b) !== undefined)) return;
        let sum = 0;
        for (const x of a) for (const y of b) sum += alike[x]?.[y] ?? 0;
        const mean = sum / (a.length * b.length);
        if (mean >= best) {
          best = mean;
          pair = [i, j];
        }
      });
    });
    if (!pair) break;
    const [i, j] = pair;
    const joined = [...(groups[i] ?? []), ...(groups[j] ?? [])];
    // The first member speaks for the group's letter.
    joined.sort((a, b) => Number(letters[a] === undefined) - Number(letters[b] === undefined) || a - b);
    groups = [...groups.filter((_, k) => k !== i && k !== j), joined];
  }
  groups.sort((a, b) => Math.min(...a) - Math.min(...b));
  const out = new Array<number>(count).fill(0);
  groups.forEach((members, group) => members.forEach((member) => (out[member] = group)));
  return out;
}

function lettered(count: number, letters: readonly (string | undefined)[]): number[][] {
  const groups: number[][] = [];
  const byLetter = new Map<string, number[]>();
  for (let i = 0; i < count; i++) {
    const letter = letters[i];
    const known = letter === undefined ? undefined : byLetter.get(letter);
    if (known) {
      known.push(i);
      continue;
    }
    const group = [i];
    groups.push(group);
    if (letter !== undefined) byLetter.set(letter, group);
  }
  return groups;
}

/**
 * Mean likeness of two passages aligned bar to bar with gaps, in the key that fits best (shifts -5 to 6 of the first),
 * less a cost for what has no partner. Another key must fit clearly better.
 */
export function passageLikeness(likeness: BarLikeness, a: number, aEnd: number, b: number, bEnd: number): number {
  const rows = aEnd - a;
  const columns = bEnd - b;
  const longer = Math.max(rows, columns);
  const shorter = Math.min(rows, columns);
  const inKey = (shift: number): number => {
    const costs = new Float64Array(rows * columns);
    for (let i = 0; i < rows; i++) {
      for (let j = 0; j < columns; j++) costs[i * columns + j] = 1 - likenessAt(likeness, a + i, b + j, shift);
    }
    const { cost } = alignGlobally(costs, rows, columns, GROUP_MODEL.gaps);
    return 1 - cost / longer;
  };
  const plain = (shift: number): number => {
    let sum = 0;
    for (let k = 0; k < shorter; k++) sum += likeness.harmony(a + k, b + k, shift);
    return sum / shorter;
  };
  let other = 1;
  let fit = -Infinity;
  for (let shift = 1; shift < 12; shift++) {
    const value = plain(shift);
    if (value > fit) [other, fit] = [shift, value];
  }
  const home = inKey(0);
  return fit - plain(0) > GROUP_MODEL.keyGain ? Math.max(home, inKey(other) - GROUP_MODEL.otherKey) : home;
}

function likenessAt({ size, harmony, sound }: BarLikeness, a: number, b: number, shift: number): number {
  const share = GROUP_MODEL.harmony;
  return share * harmony(a, b, shift) + (1 - share) * (sound[a * size + b] as number);
}
