import { expect, it } from 'vitest';
import { tryInput } from './fuzz/fuzz.js';
import { READERS } from './fuzz/readers.js';

it('damaged files of every kind are read soundly or refused in words', async () => {
  const read = { read: 0, refused: 0 };
  const seen = new Set<string>();
  for (let number = 0; number < 400; number += 1) {
    const { outcome, reader } = await tryInput(20261125, number);
    seen.add(reader);
    if (typeof outcome === 'object') expect.fail(`input ${number} (${reader}): ${outcome.fault}`);
    read[outcome] += 1;
  }
  expect(seen.size).toBe(READERS.length);
  // Damage that never or always shows would test nothing.
  expect(Math.min(read.read, read.refused)).toBeGreaterThan(40);
});
