/** Lets everything under way go on until `condition` holds; throws when it never does. */
export async function until(condition: () => boolean | undefined): Promise<void> {
  for (let turn = 0; turn < 5000; turn += 1) {
    if (condition()) return;
    await new Promise<void>((resolve) => setImmediate(resolve));
  }
  throw new Error(`until: never came true: ${condition.toString()}`);
}
