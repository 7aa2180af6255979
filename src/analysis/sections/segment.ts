import type { BarLikeness } from './bar-likeness.js';
import { beginnings, echoes, type Possible } from './echo.js';

export const SEGMENT_MODEL = {
  /** Worth of a bar whose section has one colour, and of a bar that returns elsewhere. */
  colour: 1.75,
  repeat: 0.16,
  /** Worth of a beginning where the four bars before and after differ. */
  novelty: 1.5,
  /** What a section costs, and what an unusual length costs beside eight bars. */
  section: 1.5,
  length: 1.5,
  longest: 40,
  /** Worth of a beginning where the same music begins a section elsewhere. */
  echo: 4,
  /** Worth of a bar of a section that is, as a whole and more than so much, like another one. */
  pass: 0.8,
  alike: 0.2,
  /** What a bar too many in one of the two costs, and how many may be. */
  gap: 0.5,
  gaps: 2,
  /** How often the sections are sought again beside those just found. */
  rounds: 3,
};

/** Where sections may and must begin; bars count from 0. */
export interface SegmentLimits {
  /** A section begins at each of these bars. */
  readonly forced: ReadonlySet<number>;
  /** No section begins at these bars unless forced. */
  readonly barred: ReadonlySet<number>;
}

/**
 * First bars of the sections, ascending, the first 0: dynamic programming over bars (after Marmoret, Cohen & Bimbot,
 * "Barwise music structure analysis with the correlation block-matching algorithm", 2022). A section is worth the likeness of its
 * bars to each other and the best likeness of the whole to a passage elsewhere, less a cost by its length. Where the same music
 * begins a section elsewhere, one is worth more here; and then again a section that is a pass of one found so.
 */
export function segment(likeness: BarLikeness, limits: SegmentLimits): number[] {
  const { same, colour, size } = likeness;
  const blocks = blockSums(colour, size);
  const repeats = bestRepeats(same, size);
  const fresh = novelty(same, size);
  const endings = possibleSections(size, limits, (start, n) => {
    return worth(blocks, repeats, size, start, n) + SEGMENT_MODEL.novelty * (fresh[start] as number);
  });
  // Once more, knowing where sections likely begin: where the same music is elsewhere, they begin alike.
  const echo = echoes(same, size, beginnings(endings));
  const worthHere = (start: number, worth: number): number => worth + SEGMENT_MODEL.echo * (echo[start] as number);
  let starts = best(endings, ({ start, worth }) => worthHere(start, worth));
  const passLikeness = wholeLikeness(same, size);
  for (let round = 0; round < SEGMENT_MODEL.rounds; round++) {
    const found = starts.map((start, i): Passage => ({ start, n: (starts[i + 1] ?? size) - start }));
    const again = best(endings, ({ start, worth }, end) => {
      const n = end - start;
      const alike = mostAlike({ start, n }, found, passLikeness);
      return worthHere(start, worth) + SEGMENT_MODEL.pass * n * Math.max(0, alike - SEGMENT_MODEL.alike);
    });
    if (again.join() === starts.join()) break;
    starts = again;
  }
  return starts;
}

/** First bars of the sections that are worth most together. */
function best(
  endings: readonly (readonly Possible[])[],
  worthOf: (section: Possible, end: number) => number,
): number[] {
  const size = endings.length - 1;
  const most = new Float64Array(size + 1).fill(-Infinity);
  const from = new Int32Array(size + 1);
  most[0] = 0;
  for (let end = 1; end <= size; end++) {
    for (const section of endings[end] ?? []) {
      const value = (most[section.start] as number) + worthOf(section, end);
      if (value <= (most[end] as number)) continue;
      most[end] = value;
      from[end] = section.start;
    }
  }
  const starts: number[] = [];
  for (let at = size; at > 0; at = from[at] as number) starts.push(from[at] as number);
  return starts.reverse();
}

interface Passage {
  readonly start: number;
  /** Bars. */
  readonly n: number;
}

/** How alike a passage is to that of `found` it is most alike to, of about the same length and elsewhere. */
function mostAlike(passage: Passage, found: readonly Passage[], likeness: (a: Passage, b: Passage) => number): number {
  let most = 0;
  for (const other of found) {
    const apart = other.start >= passage.start + passage.n || passage.start >= other.start + other.n;
    if (apart && Math.abs(other.n - passage.n) <= SEGMENT_MODEL.gaps) most = Math.max(most, likeness(passage, other));
  }
  return most;
}

/** Mean likeness of two passages bar by bar, what the longer has too many left out at the place that is best for both. */
function wholeLikeness(same: Float32Array, size: number): (a: Passage, b: Passage) => number {
  const wide = size + 1;
  const sums = new Float64Array(wide * wide);
  for (let i = 0; i < size; i++) {
    for (let j = 0; j < size; j++) {
      sums[(i + 1) * wide + j + 1] = (sums[i * wide + j] as number) + (same[i * size + j] as number);
    }
  }
  const run = (i: number, j: number, n: number): number =>
    (sums[(i + n) * wide + j + n] as number) - (sums[i * wide + j] as number);
  return (a, b) => {
    const [shorter, longer] = [Math.min(a.n, b.n), Math.max(a.n, b.n)];
    if (shorter === longer) return run(a.start, b.start, longer) / longer;
    let most = -Infinity;
    for (let before = 0; before <= shorter; before++) {
      const after = shorter - before;
      const sum = run(a.start, b.start, before) + run(a.start + a.n - after, b.start + b.n - after, after);
      most = Math.max(most, sum);
    }
    return (most - SEGMENT_MODEL.gap * (longer - shorter)) / longer;
  };
}

/**
 * The sections that may end before each bar and before the end, shortest first. One longer than the longest is among them only
 * where what is forced and barred leaves no other.
 */
function possibleSections(
  size: number,
  { forced, barred }: SegmentLimits,
  worthOf: (start: number, n: number) => number,
): readonly (readonly Possible[])[] {
  const endings: Possible[][] = [[]];
  for (let end = 1; end <= size; end++) {
    const ending: Possible[] = [];
    endings.push(ending);
    if (end < size && barred.has(end) && !forced.has(end)) continue;
    for (let start = end - 1; start >= 0; start--) {
      const n = end - start;
      const reached = start === 0 || (endings[start] as Possible[]).length > 0;
      if (reached && (n <= SEGMENT_MODEL.longest || ending.length === 0))
        ending.push({ start, worth: worthOf(start, n) });
      // A section may not run over a forced beginning.
      if (forced.has(start)) break;
    }
  }
  return endings;
}

function worth(blocks: Float64Array, repeats: Float32Array, size: number, start: number, n: number): number {
  const wide = size + 1;
  const end = start + n;
  const all =
    (blocks[end * wide + end] as number) -
    (blocks[start * wide + end] as number) -
    (blocks[end * wide + start] as number) +
    (blocks[start * wide + start] as number);
  const colour = n > 1 ? all / n : 0;
  const reach = SEGMENT_MODEL.longest;
  const repeat = n <= reach ? n * (repeats[start * reach + n - 1] as number) : 0;
  return (
    SEGMENT_MODEL.colour * colour +
    SEGMENT_MODEL.repeat * repeat -
    SEGMENT_MODEL.section -
    SEGMENT_MODEL.length * oddness(n)
  );
}

/** 0 for the usual lengths, 1 for the least usual: eight bars, multiples of four, of two, the rest (Marmoret et al.). */
function oddness(n: number): number {
  if (n === 8) return 0;
  if (n % 8 === 0) return 0.1;
  if (n % 4 === 0) return 0.25;
  return n % 2 === 0 ? 0.5 : 1;
}

/**
 * How much the four bars from each bar on differ from the four before and agree among themselves, about -1 to 1: the
 * checkerboard kernel of Foote 2000, on the diagonals that a passage of four bars would share with its repetition.
 */
function novelty(same: Float32Array, size: number): Float32Array {
  const out = new Float32Array(size);
  const wing = 4;
  for (let bar = 1; bar < size; bar++) {
    let inside = 0;
    let insides = 0;
    let across = 0;
    let acrosses = 0;
    for (let i = Math.max(0, bar - wing); i < Math.min(size, bar + wing); i++) {
      for (let j = Math.max(0, bar - wing); j < i; j++) {
        const value = same[i * size + j] as number;
        if (i >= bar === j >= bar) {
          inside += value;
          insides += 1;
        } else {
          across += value;
          acrosses += 1;
        }
      }
    }
    out[bar] = (insides > 0 ? inside / insides : 0) - (acrosses > 0 ? across / acrosses : 0);
  }
  return out;
}

/** Sums over the rectangle from (0, 0), the diagonal left out, [(size + 1) x (size + 1)]. */
function blockSums(values: Float32Array, size: number): Float64Array {
  const wide = size + 1;
  const sums = new Float64Array(wide * wide);
  for (let i = 0; i < size; i++) {
    let row = 0;
    for (let j = 0; j < size; j++) {
      if (i !== j) row += values[i * size + j] as number;
      sums[(i + 1) * wide + j + 1] = (sums[i * wide + j + 1] as number) + row;
    }
  }
  return sums;
}

/** For each start and each length up to the longest: the largest mean likeness to as many bars elsewhere, at least 0. */
function bestRepeats(same: Float32Array, size: number): Float32Array {
  const reach = SEGMENT_MODEL.longest;
  const out = new Float32Array(size * reach);
  for (let start = 0; start < size; start++) {
    for (let other = 0; other < size; other++) {
      if (other === start) continue;
      let sum = 0;
      const apart = Math.abs(start - other);
      const most = Math.min(reach, size - Math.max(start, other), apart);
      for (let n = 1; n <= most; n++) {
        sum += same[(start + n - 1) * size + other + n - 1] as number;
        const at = start * reach + n - 1;
        // What is repeated at once rather belongs to one section.
        if (n < apart && sum / n > (out[at] as number)) out[at] = sum / n;
      }
    }
  }
  return out;
}
