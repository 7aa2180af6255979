/** Shortest and longest recording that is worked on, in seconds. */
export const MIN_SECONDS = 5;
export const MAX_SECONDS = 20 * 60;

/** A recording that cannot be used. The message is for the user: what was found and what to do; `cause`: a library's words. */
export class RecordingProblem extends Error {
  constructor(
    readonly kind: 'empty' | 'not-audio' | 'truncated' | 'silent' | 'too-short' | 'too-long' | 'no-decoder' | 'broken',
    message: string,
    options?: { cause?: unknown },
  ) {
    super(message, options);
    this.name = 'RecordingProblem';
  }
}
