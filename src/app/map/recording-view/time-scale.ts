import type { Seconds } from '../../../music/units.js';

/** What the close-up shows: first second and seconds across. */
export interface TimeWindow {
  readonly from: Seconds;
  readonly span: Seconds;
}

/** A window laid over so many CSS pixels. */
export interface Scale extends TimeWindow {
  readonly width: number;
}

/** Nearest look: seconds across. */
export const SHORTEST_SPAN: Seconds = 0.5;

export function timeToX(scale: Scale, time: Seconds): number {
  return ((time - scale.from) / scale.span) * scale.width;
}

export function xToTime(scale: Scale, x: number): Seconds {
  return scale.from + (x / scale.width) * scale.span;
}

/** The window moved and cut so that it lies within the recording; as wide as the recording at most. */
export function fitWindow(window: TimeWindow, duration: Seconds): TimeWindow {
  const longest = Math.max(duration, SHORTEST_SPAN);
  const span = Math.min(Math.max(window.span, Math.min(SHORTEST_SPAN, longest)), longest);
  return { from: Math.min(Math.max(window.from, 0), Math.max(0, duration - span)), span };
}

/** The window with its span times `factor`; what stood at `around` stays under the same pixel where the edges let it. */
export function zoomWindow(window: TimeWindow, factor: number, around: Seconds, duration: Seconds): TimeWindow {
  const { span } = fitWindow({ from: window.from, span: window.span * factor }, duration);
  const place = (around - window.from) / window.span;
  return fitWindow({ from: around - place * span, span }, duration);
}

/** The window that shows `time`: the same one when it already does, otherwise one with `time` at `place` (0 to 1) of it. */
export function showTime(window: TimeWindow, time: Seconds, place: number, duration: Seconds): TimeWindow {
  if (time >= window.from && time <= window.from + window.span) return window;
  return fitWindow({ from: time - place * window.span, span: window.span }, duration);
}

/** Playing turns the page when the sound has come this far across, and goes on this far from the left. */
export const PAGE_AT = 0.88;
export const PAGE_TO = 0.1;

/** The next page once the sound at `time` has come to the end of this one; the same window before. */
export function turnPage(window: TimeWindow, time: Seconds, duration: Seconds): TimeWindow {
  if ((time - window.from) / window.span <= PAGE_AT) return window;
  return fitWindow({ from: time - PAGE_TO * window.span, span: window.span }, duration);
}
