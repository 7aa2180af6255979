import { describe, expect, it } from 'vitest';
import { solveMap } from '../../src/analysis/solve.js';
import { addLocks } from '../../src/model/edits/add-locks.js';
import { barsOf } from '../../src/model/map-queries.js';
import type { LockDraft, SongMap } from '../../src/model/song-map.js';
import { meterText } from '../../src/music/meter.js';
import { SAMPLES } from '../../src/app/library/samples.js';
import { analysedSample } from '../support/sample-evidence.js';

const lengths = (map: SongMap): string[] => barsOf(map).map(({ meter }) => meterText(meter));

describe.each(SAMPLES.map(({ file }) => file))('the doubts about %s', async (file) => {
  const { evidence, map } = await analysedSample(file);
  const answered = (drafts: readonly LockDraft[]): SongMap => {
    const outcome = solveMap(evidence, addLocks(map, drafts));
    if (!outcome.ok) throw new Error('a conflict');
    return outcome.map;
  };
  const asked = map.doubts.map((doubt) => [doubt.text, doubt] as const);

  it('are settled by what is shown, and no bar changes', () => {
    expect(asked.length).toBeGreaterThan(0);
    for (const [text, doubt] of asked) {
      const after = answered(doubt.keep);
      expect(lengths(after)).toEqual(lengths(map));
      expect(after.doubts.map((left) => left.text)).not.toContain(text);
    }
  });

  it('are settled by the other reading, and bars change', () => {
    for (const [text, doubt] of asked.filter(([, { other }]) => other.length > 0)) {
      const after = answered(doubt.other);
      expect(lengths(after)).not.toEqual(lengths(map));
      expect(after.doubts.map((left) => left.text)).not.toContain(text);
    }
  });

  it('whether it ends there add whole bars and nothing else', () => {
    const edges = asked.filter(([, { kind }]) => kind === 'edge');
    expect(edges.length).toBe(1);
    for (const [, { other }] of edges) {
      const usual = meterText(map.prevailing);
      expect(lengths(answered(other))).toEqual([...lengths(map), ...other.map(() => usual)]);
    }
  });
});
