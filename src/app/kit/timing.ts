import type { ReadonlySignal } from '@preact/signals-core';
import type { Lateness, TimingReport } from '../../model/timing.js';
import type { Seconds } from '../../music/units.js';

export type StrokeSource = 'taps' | 'microphone';

/** Strokes that are being collected, or were last: against the song's beats, or against a click to measure a delay. */
export interface TimingCheck {
  readonly of: 'song' | 'delay';
  readonly source: StrokeSource;
  readonly running: boolean;
  /** Seconds of the timeline. */
  readonly strokes: readonly Seconds[];
  /** What the strokes showed, once it has ended; undefined when there were too few. */
  readonly report?: TimingReport;
  readonly lateness?: Lateness;
}

export interface Timing {
  readonly check: ReadonlySignal<TimingCheck | undefined>;
  /** Plays, and collects strokes until playing stops; `parts`: strokes a beat that are meant. */
  checkSong(source: StrokeSource, parts: 1 | 2 | 3 | 4): Promise<void>;
  /** Plays a click for half a minute, and measures how late strokes to it come. */
  measureDelay(source: StrokeSource): Promise<void>;
  /** A tap, so many milliseconds ago. */
  stroke(ago: number): void;
  /** Takes over the delay that was measured. */
  useDelay(): void;
  forget(): void;
  dispose(): void;
}
