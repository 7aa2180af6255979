import type { BarLikeness } from './bar-likeness.js';

export const GROUP_MODEL = {
  /** Passages at least this alike are the same section. */
  threshold: 0.35,
  /** What a difference of length costs: this times the share of bars left over. */
  length: 0.1,
  /** Bars by which two passages may be shifted against each other. */
  shift: 2,
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

/** Mean likeness of two passages aligned at their best small shift, less a cost for what has no partner. */
export function passageLikeness(likeness: BarLikeness, a: number, aEnd: number, b: number, bEnd: number): number {
  const { size, same } = likeness;
  const longer = Math.max(aEnd - a, bEnd - b);
  let best = -Infinity;
  for (let shift = -GROUP_MODEL.shift; shift <= GROUP_MODEL.shift; shift++) {
    let sum = 0;
    let n = 0;
    for (let k = 0; k < aEnd - a; k++) {
      const other = b + k + shift;
      if (other < b || other >= bEnd) continue;
      sum += same[(a + k) * size + other] as number;
      n += 1;
    }
    if (n === 0) continue;
    best = Math.max(best, sum / n - GROUP_MODEL.length * (1 - n / longer));
  }
  return best;
}
