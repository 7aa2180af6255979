import type { FoundBeats } from '../../progress.js';
import type { Activations } from './rhythm-net.js';

/** Probability from which a moment is shown as a beat, or a beat as beat 1, before the solver has weighed everything. */
const CLEAR = 0.4;
/** No two beats shown lie closer together than this, in seconds. */
const APART = 0.2;

/** What the network hears clearly, for the screen to show while the solver works: a first view, not an answer. */
export function heardBeats({ rate, beat, downbeat }: Activations): FoundBeats {
  const reach = Math.max(1, Math.round((APART / 2) * rate));
  const peaks: number[] = [];
  beat.forEach((p, i) => {
    if (p < CLEAR) return;
    const around = beat.subarray(Math.max(0, i - reach), i + reach + 1);
    // Of equal ones the first is the peak.
    if (around.every((other, k) => other < p || (other === p && k >= Math.min(i, reach)))) peaks.push(i);
  });
  const first = (i: number): boolean => downbeat.subarray(Math.max(0, i - 2), i + 3).some((p) => p >= CLEAR);
  return { beats: peaks.map((i) => i / rate), lines: peaks.filter(first).map((i) => i / rate) };
}
