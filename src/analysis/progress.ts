import { msg } from '@lit/localize';
import type { Seconds } from '../music/units.js';

/** The steps of an analysis, in order. */
export const STEPS = ['tuning and key', 'features', 'beats', 'bars', 'sections', 'chords'] as const;
export type Step = (typeof STEPS)[number];

/** Beats known so far and those of them that begin bars, in seconds, ascending. */
export interface FoundBeats {
  readonly beats: readonly Seconds[];
  readonly lines: readonly Seconds[];
}

/** What a long analysis tells and asks. */
export interface Progress {
  /** `done` from 0 to 1 over the whole analysis. */
  readonly report: (step: Step, done: number) => void;
  /** Beats to show before the rest is known; each call replaces what was said before. */
  readonly found?: (beats: FoundBeats) => void;
  /** True once the user has cancelled; the analysis then throws Cancelled. */
  readonly cancelled: () => boolean;
}

export class Cancelled extends Error {
  constructor() {
    super(msg('The analysis was cancelled.'));
    this.name = 'Cancelled';
  }
}

export const SILENT_PROGRESS: Progress = { report: () => undefined, cancelled: () => false };

export function checkpoint(progress: Progress): void {
  if (progress.cancelled()) throw new Cancelled();
}
