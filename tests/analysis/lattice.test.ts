import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { barPosteriors, bestBars, type BarLattice } from '../../src/analysis/bars/lattice.js';
import { constrain, MUST_NOT_START, MUST_START, noBarConstraints } from '../../src/analysis/bars/constrained-bars.js';
import { runs } from '../support/runs.js';

/** A lattice of n beats whose bars have 1 to `longest` beats, all scores 0; it begins on beat 0 and uses all beats. */
function flat(count: number, longest: number): BarLattice {
  const arcs = new Float64Array(count * (longest + 1)).fill(-Infinity);
  for (let i = 0; i < count; i++) {
    for (let length = 1; length <= Math.min(longest, count - i); length++) arcs[i * (longest + 1) + length] = 0;
  }
  const entry = new Float64Array(count).fill(-Infinity);
  entry[0] = 0;
  const exit = new Float64Array(count + 1).fill(-Infinity);
  exit[count] = 0;
  return { count, longest, arcs, entry, exit };
}

interface Way {
  readonly nodes: readonly number[];
  readonly score: number;
}

/** Every way to divide the beats, by trying them all. */
function allWays({ count, longest, arcs, entry, exit }: BarLattice): Way[] {
  const ways: Way[] = [];
  const go = (nodes: readonly number[], score: number): void => {
    const node = nodes[nodes.length - 1] as number;
    if (nodes.length > 1 && (exit[node] as number) > -Infinity)
      ways.push({ nodes, score: score + (exit[node] as number) });
    for (let length = 1; length <= Math.min(longest, count - node); length++) {
      const arc = arcs[node * (longest + 1) + length] as number;
      if (arc > -Infinity) go([...nodes, node + length], score + arc);
    }
  };
  for (let i = 0; i < count; i++) if ((entry[i] as number) > -Infinity) go([i], entry[i] as number);
  return ways;
}

const anyLattice = fc
  .record({
    count: fc.integer({ min: 1, max: 9 }),
    longest: fc.integer({ min: 1, max: 4 }),
    seed: fc.array(fc.integer({ min: -40, max: 40 }), { minLength: 64, maxLength: 64 }),
  })
  .map(({ count, longest, seed }) => {
    const lattice = flat(count, longest);
    let at = 0;
    const next = (): number => (seed[at++ % seed.length] as number) / 10;
    lattice.arcs.forEach((arc, i) => (lattice.arcs[i] = arc === -Infinity || next() > 3.4 ? -Infinity : next()));
    lattice.entry.forEach((_, i) => (lattice.entry[i] = i < 3 ? next() : -Infinity));
    lattice.exit.forEach((_, i) => (lattice.exit[i] = i >= count - 1 && i > 0 ? next() : -Infinity));
    return lattice;
  });

describe('bars as a lattice', () => {
  it('takes the best of all ways', () => {
    fc.assert(
      fc.property(anyLattice, (lattice) => {
        const ways = allWays(lattice);
        const best = bestBars(lattice);
        if (ways.length === 0) {
          expect(best).toBeUndefined();
          return;
        }
        const top = Math.max(...ways.map((way) => way.score));
        expect(best?.score).toBeCloseTo(top, 9);
        const same = ways.find((way) => way.nodes.join() === best?.nodes.join());
        expect(same?.score).toBeCloseTo(top, 9);
      }),
      { numRuns: runs(200) },
    );
  });

  it('gives each bar the share of the ways that hold it', () => {
    fc.assert(
      fc.property(anyLattice, (lattice) => {
        const ways = allWays(lattice);
        const { arcs } = barPosteriors(lattice);
        const total = ways.reduce((sum, way) => sum + Math.exp(way.score), 0);
        if (ways.length === 0) return;
        for (let i = 0; i < lattice.count; i++) {
          for (let length = 1; length <= lattice.longest; length++) {
            const share = ways
              .filter(({ nodes }) => nodes.some((node, k) => node === i && nodes[k + 1] === i + length))
              .reduce((sum, way) => sum + Math.exp(way.score) / total, 0);
            expect(arcs[i * (lattice.longest + 1) + length]).toBeCloseTo(share, 8);
          }
        }
      }),
      { numRuns: runs(200) },
    );
  });

  it('counts compositions into ones and twos as Fibonacci numbers do', () => {
    // A line of n beats falls into bars of 1 and 2 in F(n + 1) ways (textbook identity); F(5) of F(9) x F(4) split at 4.
    const { starts } = barPosteriors(flat(8, 2));
    const f = [0, 1, 1, 2, 3, 5, 8, 13, 21, 34];
    for (let i = 0; i < 8; i++) {
      expect(starts[i]).toBeCloseTo(((f[i + 1] as number) * (f[9 - i] as number)) / (f[9] as number), 9);
    }
  });

  it('holds what must and must not start', () => {
    const constraints = noBarConstraints(8);
    constraints.starts[3] = MUST_START;
    constraints.starts[4] = MUST_NOT_START;
    constraints.lengths[5] = 2;
    const lattice = flat(8, 4);
    const nodes = bestBars(constrain(lattice, constraints))?.nodes ?? [];
    expect(nodes).toContain(3);
    expect(nodes).not.toContain(4);
    expect(nodes).toContain(5);
    expect(nodes).toContain(7);
    expect(nodes).not.toContain(6);
  });

  it('makes a bar as long as closed bar lines force it', () => {
    const constraints = noBarConstraints(20);
    constraints.starts[0] = MUST_START;
    for (let i = 1; i < 20; i++) constraints.starts[i] = MUST_NOT_START;
    expect(bestBars(constrain(flat(20, 4), constraints))?.nodes).toEqual([0, 20]);
  });
});
