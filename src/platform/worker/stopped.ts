/** A worker ended without an answer. Nothing came of what it was asked, so that it can be asked again; the message says so. */
export class StoppedProblem extends Error {
  override readonly name = 'StoppedProblem';
}

/** A worker that owes an answer and has said nothing for so many checks in a row, CHECK milliseconds apart, is gone. */
export const SILENT_CHECKS = 18;
export const CHECK = 10_000;
