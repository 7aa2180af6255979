/** Bars as the development bench counts them: found only if the start is near and the number of beats is the same. */
export interface MeasuredBar {
  readonly start: number;
  readonly beats: number;
}

export interface BarScore {
  readonly hits: number;
  readonly claimed: number;
  readonly actual: number;
  readonly f: number;
}

export function barScore(reference: readonly MeasuredBar[], estimate: readonly MeasuredBar[], window = 0.07): BarScore {
  let hits = 0;
  for (let i = 0, j = 0; i < reference.length && j < estimate.length;) {
    const a = reference[i] as MeasuredBar;
    const b = estimate[j] as MeasuredBar;
    if (Math.abs(a.start - b.start) <= window) {
      if (Math.abs(a.beats - b.beats) < 1e-6) hits++;
      i++;
      j++;
    } else if (a.start < b.start) i++;
    else j++;
  }
  const all = reference.length + estimate.length;
  return { hits, claimed: estimate.length, actual: reference.length, f: all === 0 ? 0 : (2 * hits) / all };
}

/** The same for irregular bars only: those whose number of beats is not the list's own commonest. */
export function irregularScore(reference: readonly MeasuredBar[], estimate: readonly MeasuredBar[]): BarScore {
  const score = barScore(irregular(reference), irregular(estimate));
  return score.claimed + score.actual === 0 ? { ...score, f: 1 } : score;
}

function irregular(bars: readonly MeasuredBar[]): MeasuredBar[] {
  const counts = new Map<number, number>();
  for (const bar of bars) counts.set(bar.beats, (counts.get(bar.beats) ?? 0) + 1);
  const commonest = [...counts].sort((a, b) => b[1] - a[1] || a[0] - b[0])[0]?.[0];
  return bars.filter((bar) => bar.beats !== commonest);
}
