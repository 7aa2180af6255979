import { PRINT_CENTRE, PRINT_RATE, type Fingerprint } from '../../dsp/fingerprint.js';
import type { Seconds } from '../../music/units.js';
import { bestLine, type Line } from './offset-line.js';
import { BLOCK, errorRate, offsetNear, SAME } from './print-blocks.js';
import { wordIndex, type WordIndex } from './word-index.js';

/** How a sound lies in another file: what is heard at `t` in the one is heard at `offset + speed * t` in the other. */
export interface Alignment {
  /** Seconds; positive when the other file has it later. */
  readonly offset: Seconds;
  /** Seconds of the other file to one of this; below 1 where the other plays faster. */
  readonly speed: number;
  /** Share of the common stretch that sounds the same, 0 to 1. */
  readonly agreement: number;
  /** Seconds that both have. */
  readonly common: Seconds;
  /** Seconds of the known one. */
  readonly knownSeconds: Seconds;
}

/** The most that speeds may differ. */
const MOST_SPEED = 0.0125;
/** Common sound, in seconds, below which nothing can be said. */
const LEAST_COMMON = 10;
/** Share of the blocks of the common stretch that have to agree. */
const LEAST_AGREEMENT = 0.8;
/** A drift below this many frames over the whole common stretch is none. */
const NO_DRIFT = 0.35;
/** Frames from one measured block to the next. */
const STEP = 64;
/** Frames from a block's first to its middle. */
const MIDDLE = (BLOCK - 1) / 2;

/** A recording looked for among many: its words are put in order once. */
export interface WantedRecording {
  /** How `known` lies in the wanted recording; undefined when it is another one. */
  find(known: Fingerprint): Alignment | undefined;
}

/**
 * Gets ready to compare `given` with any number of known recordings.
 *
 * Places where a word of both is equal are tried as blocks of 256 frames; a block whose words differ in fewer than 35 % of the
 * bits is the same sound (Haitsma and Kalker 2002, sections 4.2 and 5). The blocks' offsets have to lie on one line, whose
 * slope is the difference in speed; it is then measured between frames, where the blocks differ least.
 */
export function wantedRecording(given: Fingerprint): WantedRecording {
  const index = wordIndex(given.words);
  return { find: (known) => find(known, given, index) };
}

/** Which of the known recordings `given` is: of those that it is, the one with which most is in common. */
export function recognise<Known extends { readonly id: string; readonly print: Fingerprint }>(
  given: Fingerprint,
  known: readonly Known[],
): ({ readonly id: string } & Alignment) | undefined {
  const wanted = wantedRecording(given);
  let best: ({ readonly id: string } & Alignment) | undefined;
  for (const { id, print } of known) {
    const found = wanted.find(print);
    if (found && !(best && best.common * best.agreement >= found.common * found.agreement)) best = { id, ...found };
  }
  return best;
}

function find(known: Fingerprint, given: Fingerprint, index: WordIndex): Alignment | undefined {
  const points = matchingBlocks(known.words, given.words, index);
  let line = bestLine(points, MOST_SPEED, known.words.length);
  if (!line) return undefined;
  line = measured(known.words, given.words, line);
  if (!line) return undefined;
  const { agreement, common } = agreementAlong(known.words, given.words, line);
  if (agreement < LEAST_AGREEMENT || common < LEAST_COMMON || Math.abs(line.slope) > MOST_SPEED) return undefined;
  // A frame lies about its middle, not about where it begins.
  const offset = line.at0 / PRINT_RATE - line.slope * PRINT_CENTRE;
  return { offset, speed: 1 + line.slope, agreement, common, knownSeconds: known.words.length / PRINT_RATE };
}

/** Blocks of `known` that are found in `given`: the frame at the block's middle, and how much later it is there. */
function matchingBlocks(known: Uint32Array, given: Uint32Array, index: WordIndex): { x: number; offset: number }[] {
  const points: { x: number; offset: number }[] = [];
  const votes = new Map<number, number>();
  for (let from = 0; from + BLOCK <= known.length; from += BLOCK / 2) {
    votes.clear();
    for (let i = from; i < from + BLOCK; i++) {
      index.places(known[i] as number, (place) => {
        const offset = place - i;
        votes.set(offset, (votes.get(offset) ?? 0) + 1);
      });
    }
    const tried = [...votes].sort((a, b) => b[1] - a[1]).slice(0, TRIES);
    for (const [offset] of tried) {
      if (errorRate(known, given, from, offset) < SAME) points.push({ x: from + MIDDLE, offset });
    }
  }
  return points;
}

const TRIES = 12;

/** The line through the offsets of all blocks, each measured between frames. */
function measured(known: Uint32Array, given: Uint32Array, guess: Line): Line | undefined {
  let line = guess;
  for (const reach of [6, 3]) {
    const points: { x: number; offset: number; weight: number }[] = [];
    for (let from = 0; from + BLOCK <= known.length; from += STEP) {
      const x = from + MIDDLE;
      const near = offsetNear(known, given, from, line.at0 + line.slope * x, reach);
      if (near) points.push({ x, offset: near.offset, weight: (0.5 - near.error) ** 2 });
    }
    const fitted = fitLine(points, reach / 2);
    if (!fitted) return undefined;
    line = fitted;
  }
  return line;
}

/** Least squares, the farthest points left out in turn. */
function fitLine(points: readonly { x: number; offset: number; weight: number }[], reach: number): Line | undefined {
  let used = points;
  let line: Line | undefined;
  for (const within of [Infinity, reach, reach / 2, reach / 4]) {
    const before = line;
    if (before) used = points.filter(({ x, offset }) => Math.abs(offset - before.at0 - before.slope * x) <= within);
    if (used.length < 4) return line;
    line = straight(used);
  }
  return line;
}

function straight(points: readonly { x: number; offset: number; weight: number }[]): Line {
  let [w, wx, wy, wxx, wxy] = [0, 0, 0, 0, 0];
  let [first, last] = [Infinity, -Infinity];
  for (const { x, offset, weight } of points) {
    w += weight;
    wx += weight * x;
    wy += weight * offset;
    wxx += weight * x * x;
    wxy += weight * x * offset;
    first = Math.min(first, x);
    last = Math.max(last, x);
  }
  const slope = (w * wxy - wx * wy) / (w * wxx - wx * wx);
  // Too little to be told from the grain of the frames: the speed is the same.
  if (!(Math.abs(slope) * (last - first) > NO_DRIFT)) return { at0: wy / w, slope: 0 };
  return { at0: (wy - slope * wx) / w, slope };
}

/** Along the line: the share of blocks that are the same, and the seconds that both have. */
function agreementAlong(
  known: Uint32Array,
  given: Uint32Array,
  { at0, slope }: Line,
): { agreement: number; common: number } {
  let [same, all] = [0, 0];
  for (let from = 0; from + BLOCK <= known.length; from += STEP) {
    const offset = Math.round(at0 + slope * (from + MIDDLE));
    const error = errorRate(known, given, from, offset);
    if (Number.isNaN(error)) continue;
    all++;
    if (error < SAME) same++;
  }
  return { agreement: all === 0 ? 0 : same / all, common: (all * STEP) / PRINT_RATE };
}
