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
  return sorted(explain([], false, [...items].reverse()));
}
