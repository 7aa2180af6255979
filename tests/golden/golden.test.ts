import { readdirSync, statSync } from 'node:fs';
import { describe, expect, it } from 'vitest';
import { EVIDENCE, MAPS, evidencePath, goldenFacts, solvedFacts } from './corpus.js';
import { factsText, readFacts } from './facts.js';
import { RECORDINGS } from './recordings.js';
import { differenceSentences } from './words.js';

/** Bytes that the evidence may take in the repository. */
const MOST_BYTES = 6_000_000;

describe('the golden corpus', () => {
  it('keeps evidence and maps of each recording, and nothing else', () => {
    expect(RECORDINGS.length).toBeGreaterThanOrEqual(24);
    const own = RECORDINGS.filter(({ from }) => from.by !== 'repeat').map(({ id }) => id);
    expect(readdirSync(EVIDENCE).sort()).toEqual(own.map((id) => `${id}.gz`).sort());
    expect(readdirSync(MAPS).sort()).toEqual(RECORDINGS.map(({ id }) => `${id}.json`).sort());
    const bytes = own.reduce((sum, id) => sum + statSync(evidencePath(id)).size, 0);
    expect(bytes).toBeLessThan(MOST_BYTES);
  });

  it.each(RECORDINGS)('$id: $about', async (recording) => {
    const said = differenceSentences(goldenFacts(recording), readFacts(factsText(await solvedFacts(recording))));
    if (said.length > 0)
      expect.fail(`${said.join('\n')}\nWhere this is meant: npm run golden -- --renew ${recording.id}`);
  });
});
