import type { Seconds } from './units.js';

/**
 * What sounds when: pieces of one recording on a timeline of seconds that begins when playing begins. Between pieces is
 * silence, as in a count-in. Plain data, the same for what is heard and for what is written to a file.
 */
export interface Piece {
  /** Where on the timeline it begins. */
  readonly at: Seconds;
  /** The stretch of the recording it plays, from <= until. */
  readonly from: Seconds;
  readonly until: Seconds;
  /** Seconds of the recording a second: 0.5 is half as fast. Above 0. */
  readonly rate: number;
}

/** A sound placed on the timeline: a click, a counted number, a plucked string. */
export interface Sounding {
  readonly at: Seconds;
  readonly sound: SoundName;
  /** Linear, 1 is the sound as it is. */
  readonly gain: number;
  readonly bus: Bus;
  /** A sound with the same number above 0 cuts this one off, as a string plucked again does. */
  readonly choke?: number;
}

/**
 * `beat`, `one` (beat 1), `odd` (beat 1 of an irregular bar) and `part` (between beats) are clicks, `count` a beat of the
 * count-in and `count one` its first, `say WORD …` spoken words (a number 1 to 12, a chord), `pluck N` a string that sounds MIDI
 * note N, fractions allowed, `mute` a muted stroke.
 */
export type SoundName =
  'beat' | 'one' | 'odd' | 'part' | 'count' | 'count one' | 'mute' | `say ${string}` | `pluck ${number}`;

/** What has a level of its own. */
export type Bus = 'recording' | 'click' | 'count' | 'strum';
export const BUSES: readonly Bus[] = ['recording', 'click', 'count', 'strum'];

/** Seconds a piece fades in before it begins and fades out before it ends, so that the attack at its start stays whole. */
export const JOIN = 0.012;

export function pieceEnd(piece: Piece): Seconds {
  return piece.at + (piece.until - piece.from) / piece.rate;
}

/** True when `next` goes on where `piece` ends, in the recording and on the timeline. */
export function goesOn(piece: Piece, next: Piece): boolean {
  return Math.abs(next.from - piece.until) < 1e-4 && Math.abs(next.at - pieceEnd(piece)) < 1e-4;
}

/**
 * Place in the recording at `time` of the timeline: a function, so that it cannot drift. Before the first piece, and in
 * the silence between two, it is where the next piece begins; after the last, where that ends. 0 without pieces.
 */
export function placeAt(pieces: readonly Piece[], time: Seconds): Seconds {
  for (const piece of pieces) {
    if (time < piece.at) return piece.from;
    if (time < pieceEnd(piece)) return piece.from + (time - piece.at) * piece.rate;
  }
  return pieces.at(-1)?.until ?? 0;
}

/** The pieces up to `time` of the timeline, the last cut there. */
export function cutAt(pieces: readonly Piece[], time: Seconds): readonly Piece[] {
  return pieces
    .filter((piece) => piece.at < time)
    .map((piece) =>
      pieceEnd(piece) > time ? { ...piece, until: piece.from + (time - piece.at) * piece.rate } : piece,
    );
}
