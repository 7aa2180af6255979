import type { Evidence } from '../evidence.js';
import { beatMeans } from './beat-features.js';

/** What each beat sounds like, `size` numbers a beat, scaled so that a dot product is a likeness from about -1 to 1. */
export interface BeatProfiles {
  readonly count: number;
  readonly size: number;
  readonly values: Float32Array;
}

/** Shares of pitch classes, bass notes and timbre in the likeness of two beats. */
const SHARES = { chroma: 0.4, bass: 0.35, timbre: 0.25 } as const;
/** Beats that differ from the song's mean less than this share of the usual are alike in nothing. */
const FAINT = 0.3;

/** Profiles of the beats at `times` (seconds, ascending), each part less the song's mean; `after` is where the last beat ends. */
export function beatProfiles(evidence: Evidence, times: readonly number[], after: number): BeatProfiles {
  const parts = (['chroma', 'bass', 'timbre'] as const).map((name) => ({
    track: evidence.tracks[name],
    length: Math.sqrt(SHARES[name]),
  }));
  const size = parts.reduce((sum, { track }) => sum + track.width, 0);
  const values = new Float32Array(times.length * size);
  let column = 0;
  for (const { track, length } of parts) {
    putRows(deviations(beatMeans(track, times, after), track.width, length), track.width, values, size, column);
    column += track.width;
  }
  return { count: times.length, size, values };
}

/** Each row less the mean row, scaled to `length`; rows that hardly differ from the mean stay short. */
function deviations(rows: Float32Array, width: number, length: number): Float32Array {
  const count = rows.length / width;
  const mean = new Float64Array(width);
  rows.forEach((value, at) => (mean[at % width] = (mean[at % width] as number) + value / count));
  const norms = new Float64Array(count);
  for (let i = 0; i < count; i++) {
    let sum = 0;
    for (let k = 0; k < width; k++) sum += ((rows[i * width + k] as number) - (mean[k] as number)) ** 2;
    norms[i] = Math.sqrt(sum);
  }
  const usual = norms.reduce((sum, norm) => sum + norm, 0) / Math.max(1, count);
  return rows.map((value, at) => {
    const norm = norms[Math.floor(at / width)] as number;
    return (length * (value - (mean[at % width] as number))) / Math.max(norm, FAINT * usual, 1e-6);
  });
}

function putRows(rows: Float32Array, width: number, into: Float32Array, stride: number, column: number): void {
  for (let i = 0; i * width < rows.length; i++)
    into.set(rows.subarray(i * width, (i + 1) * width), i * stride + column);
}
