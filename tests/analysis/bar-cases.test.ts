import { describe, expect, it } from 'vitest';
import { barCases } from '../../src/analysis/bars/bar-cases.js';
import type { BuiltSpans } from '../../src/analysis/bars/build-spans.js';
import { readLocks } from '../../src/analysis/locks/rhythm-locks.js';
import { bars } from '../support/notation.js';

/** Spans of `notation`, one stretch with a point a beat; `arcs`: [from, length, probability] besides the bars shown. */
function built(notation: string, arcs: readonly (readonly [number, number, number])[]): BuiltSpans {
  const { spans } = bars(notation);
  const shown = spans.flatMap((span) => (span.kind === 'bar' ? [span] : []));
  const times = shown.flatMap((bar) => bar.beats);
  const nodes = [0];
  for (const bar of shown) nodes.push((nodes[nodes.length - 1] as number) + bar.beats.length);
  const longest = 12;
  const posteriors = { starts: new Float64Array(times.length), arcs: new Float64Array(times.length * (longest + 1)) };
  for (const node of nodes.slice(0, -1)) posteriors.starts[node] = 1;
  for (const [from, length, p] of arcs) posteriors.arcs[from * (longest + 1) + length] = p;
  const stretch = { times, heard: times.length, nodes, posteriors, longest, regions: [], laid: [] };
  return { spans, stretches: [stretch] } as unknown as BuiltSpans;
}

const free = readLocks([], 100);

describe('the second reading of a bar', () => {
  it('is two bars when the next bar line stays', () => {
    const cases = barCases(
      built('3 5 3', [
        [3, 3, 0.3],
        [6, 2, 0.28],
      ]),
      free,
    );
    expect(cases[1]).toMatchObject({ kind: 'length', otherBeats: 3, rest: { beats: 2 } });
    expect(cases[1]?.rest?.start).toBeCloseTo(cases[1]?.bar.beats[3] as number);
  });

  it('is one shorter bar when what follows moves too', () => {
    const cases = barCases(
      built('3 5 3', [
        [3, 3, 0.3],
        [6, 3, 0.28],
      ]),
      free,
    );
    expect(cases[1]).toMatchObject({ kind: 'length', otherBeats: 3 });
    expect(cases[1]?.rest).toBeUndefined();
  });

  it('is never that beat 1 comes where the bar before starts', () => {
    const bars = built('4 2 4 4', [[6, 6, 0.3]]);
    const { starts } = bars.stretches[0]!.posteriors;
    [starts[4], starts[6], starts[8]] = [0.9, 0.6, 0.4];
    expect(barCases(bars, free)[2]).toMatchObject({ kind: 'phase', shift: 2 });
    starts[8] = 0;
    expect(barCases(bars, free)[2]).toMatchObject({ kind: 'length', otherBeats: 6 });
  });
});
