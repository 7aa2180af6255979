import { matches } from './beat.js';

/** Measures of sections as mir_eval defines them (Raffel et al., ISMIR 2014; pairwise: Levy & Sandler 2008). */
export interface Interval {
  readonly start: number;
  readonly end: number;
  readonly label: string;
}

export interface Scores {
  readonly precision: number;
  readonly recall: number;
  readonly f: number;
}

/** Cuts or fills a list of adjoining intervals so that it covers 0 to `end`. */
export function spanTo(intervals: readonly Interval[], end?: number): Interval[] {
  const cut = intervals
    .filter((one) => one.end >= 0 && (end === undefined || one.start <= end))
    .map((one) => ({
      ...one,
      start: Math.max(0, one.start),
      end: end === undefined ? one.end : Math.min(end, one.end),
    }));
  const first = cut[0];
  const last = cut[cut.length - 1];
  if (!first || !last) return end === undefined ? [] : [{ start: 0, end, label: '__T_MIN' }];
  return [
    ...(first.start > 0 ? [{ start: 0, end: first.start, label: '__T_MIN' }] : []),
    ...cut,
    ...(end !== undefined && last.end < end ? [{ start: last.end, end, label: '__T_MAX' }] : []),
  ];
}

/** Boundary hits within `window` seconds; `trim` leaves out the first and the last boundary. */
export function detection(
  reference: readonly Interval[],
  estimate: readonly Interval[],
  window: number,
  trim = false,
): Scores {
  const a = boundaries(reference, trim);
  const b = boundaries(estimate, trim);
  if (a.length === 0 || b.length === 0) return { precision: 0, recall: 0, f: 0 };
  const hits = matches(a, b, window);
  return scores(hits / b.length, hits / a.length);
}

/** Agreement of pairs of frames on being in the same section, `frame` seconds apart. */
export function pairwise(reference: readonly Interval[], estimate: readonly Interval[], frame = 0.1): Scores {
  const a = sampled(reference, frame);
  const b = sampled(estimate, frame);
  const n = Math.min(a.length, b.length);
  if (n === 0) return { precision: 0, recall: 0, f: 0 };
  const pairs = (labels: readonly string[]): number => {
    const counts = new Map<string, number>();
    for (const label of labels) counts.set(label, (counts.get(label) ?? 0) + 1);
    return [...counts.values()].reduce((sum, count) => sum + (count * (count - 1)) / 2, 0);
  };
  const both = pairs(Array.from({ length: n }, (_, i) => `${a[i]}\n${b[i]}`));
  return scores(both / pairs(b), both / pairs(a));
}

function boundaries(intervals: readonly Interval[], trim: boolean): number[] {
  const all = new Set(intervals.flatMap((one) => [round(one.start), round(one.end)]));
  const sorted = [...all].sort((x, y) => x - y);
  return trim ? sorted.slice(1, -1) : sorted;
}

/** mir_eval rounds boundaries to five decimals before it takes the distinct ones. */
function round(time: number): number {
  return Math.round(time * 1e5) / 1e5;
}

function sampled(intervals: readonly Interval[], frame: number): string[] {
  const end = Math.max(0, ...intervals.map((one) => one.end));
  return Array.from({ length: Math.floor(end / frame) }, (_, i) => {
    // mir_eval keeps its sample times in single precision.
    const time = Math.fround(i * Math.fround(frame));
    const hit = intervals.filter((one) => one.start <= time && time <= one.end).at(-1);
    return hit?.label ?? '';
  });
}

function scores(precision: number, recall: number): Scores {
  return { precision, recall, f: precision + recall > 0 ? (2 * precision * recall) / (precision + recall) : 0 };
}
