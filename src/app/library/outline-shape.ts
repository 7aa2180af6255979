import type { Peaks } from '../../dsp/peaks.js';
import type { FoundBeats } from '../../analysis/progress.js';
import type { Seconds } from '../../music/units.js';

/** Beats as short strokes at the foot of a box of `width` by `height`, first beats of bars as long ones. */
export function beatShape(found: FoundBeats, duration: Seconds, width: number, height: number): string {
  const stroke = (share: number) => (time: Seconds) =>
    `M${((width * time) / duration).toFixed(1)} ${height}V${(height * (1 - share)).toFixed(1)}`;
  return [...found.beats.map(stroke(0.1)), ...found.lines.map(stroke(0.22))].join('');
}

/**
 * The outline as one closed SVG path in a box of `width` by `height`: one column a unit of width, as far as it is
 * known. `duration` in seconds of the whole recording; unknown, the outline fills the box.
 */
export function outlineShape(peaks: Peaks, duration: Seconds | undefined, width: number, height: number): string {
  const steps = peaks.data.length >> 1;
  const whole = Math.max(steps, Math.round((duration ?? 0) * peaks.rate));
  if (steps === 0) return '';
  const columns = Math.max(1, Math.floor((steps / whole) * width));
  const middle = height / 2;
  const upper: string[] = [];
  const lower: string[] = [];
  for (let column = 0; column < columns; column += 1) {
    const from = Math.floor((column / columns) * steps);
    const to = Math.max(from + 1, Math.floor(((column + 1) / columns) * steps));
    let low = 0;
    let high = 0;
    for (let i = from; i < to; i += 1) {
      low = Math.min(low, peaks.data[2 * i] ?? 0);
      high = Math.max(high, peaks.data[2 * i + 1] ?? 0);
    }
    upper.push(`${column} ${(middle - (high / 127) * middle).toFixed(1)}`);
    lower.push(`${column} ${(middle - (low / 127) * middle).toFixed(1)}`);
  }
  return `M${upper.join('L')}L${lower.reverse().join('L')}Z`;
}
