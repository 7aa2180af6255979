import type { Track } from '../evidence.js';

/** Most, in nats, that the network's word counts for or against at one place. */
const MOST = 5;
/** Seconds that the network's peaks lie before the attacks they come from (measured on real recordings: 4 to 20 ms). */
const EARLY = 0.01;

const LOG_ODDS = Float32Array.from({ length: 256 }, (_, byte) => {
  const p = Math.max(0.5, Math.min(254.5, byte)) / 255;
  return Math.max(-MOST, Math.min(MOST, Math.log(p / (1 - p))));
});

/** Largest log odds, -5 to 5, that the network gives within `reach` seconds of `time`; -5 outside the recording. */
export function heardNear(track: Track, time: number, reach: number): number {
  const { rate, data } = track;
  const from = Math.max(0, Math.ceil((time - EARLY - reach) * rate - 1e-6));
  const to = Math.min(data.length - 1, Math.floor((time - EARLY + reach) * rate + 1e-6));
  let top = 0;
  for (let i = from; i <= to; i++) top = Math.max(top, data[i] as number);
  return LOG_ODDS[top] as number;
}
