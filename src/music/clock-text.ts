import type { Seconds } from './units.js';

/** "1:42"; "1:02:05" from an hour on. Whole seconds passed; one that is short of its end by rounding alone has passed. */
export function clockText(time: Seconds): string {
  const whole = Math.max(0, Math.floor(time + 1e-6));
  const [hours, minutes] = [Math.floor(whole / 3600), Math.floor(whole / 60) % 60];
  const two = (n: number): string => String(n).padStart(2, '0');
  return hours > 0 ? `${hours}:${two(minutes)}:${two(whole % 60)}` : `${minutes}:${two(whole % 60)}`;
}
