/**
 * A smallest part of `items` that cannot hold, in their order, given that all of them together cannot: none of it can
 * be left out. Prefers to keep the newest (Junker, "QuickXplain", AAAI 2004, with later items preferred as culprits).
 */
export function minimalConflict<T>(items: readonly T[], canHold: (some: readonly T[]) => boolean): T[] {
  const order = new Map(items.map((item, i) => [item, i]));
  const sorted = (some: readonly T[]): T[] =>
    [...some].sort((a, b) => (order.get(a) as number) - (order.get(b) as number));
  const explain = (background: readonly T[], grown: boolean, candidates: readonly T[]): T[] => {
    if (grown && !canHold(sorted(background))) return [];
    if (candidates.length === 1) return [...candidates];
    const half = Math.ceil(candidates.length / 2);
    const [first, second] = [candidates.slice(0, half), candidates.slice(half)];
    const ofSecond = explain([...background, ...first], first.length > 0, second);
    const ofFirst = explain([...background, ...ofSecond], ofSecond.length > 0, first);
    return [...ofFirst, ...ofSecond];
  };
  if (items.length === 0) return [];
  // Candidates are taken newest first, so that of several conflicts the one with the newest items is found.
  const found = sorted(explain([], false, [...items].reverse()));
  return thinned(canHold(found) ? items : found, canHold);
}

/**
 * Leaves out what can be left out, oldest first. QuickXplain is right only where a part of what holds holds too; a solver
 * may fail at a part of what it solved, and what it names has to be a conflict all the same.
 */
function thinned<T>(items: readonly T[], canHold: (some: readonly T[]) => boolean): T[] {
  let left = [...items];
  for (let i = 0; i < left.length;) {
    const without = left.filter((_, k) => k !== i);
    if (without.length > 0 && !canHold(without)) {
      left = without;
      i = 0;
    } else i++;
  }
  return left;
}
