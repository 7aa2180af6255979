/** From the audio thread: a stroke was heard, so many seconds into the context's time. */
export interface StrokeReport {
  readonly at: number;
}

/** Name under which the processor is registered. */
export const STROKES_PROCESSOR = 'barwright-strokes';
