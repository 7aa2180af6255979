/**
 * Runs `work` on each item, at most `atOnce` at a time, and hands each outcome to `each` in the order of the items,
 * as soon as it and all before it are there.
 */
export async function inOrder<Item, Outcome>(
  items: readonly Item[],
  atOnce: number,
  work: (item: Item) => Promise<Outcome>,
  each: (outcome: Outcome, item: Item) => void,
): Promise<void> {
  const running: Promise<Outcome>[] = [];
  const slots: Promise<unknown>[] = Array.from({ length: Math.min(atOnce, items.length) }, () => Promise.resolve());
  for (const [i, item] of items.entries()) {
    const slot = i % slots.length;
    const before = slots[slot] as Promise<unknown>;
    const outcome = before.then(() => work(item));
    running.push(outcome);
    slots[slot] = outcome.catch(() => undefined);
  }
  for (const [i, item] of items.entries()) each(await (running[i] as Promise<Outcome>), item);
}
