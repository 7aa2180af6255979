import { Deck, isDirect } from './deck.js';
import { NO_SOUND, type PackedSound } from './packed-sound.js';
import { BOTH_SIDES, type SideMix } from './side-mix.js';
import type { Instantiate } from './stretch.js';
import { BUSES, cutAt, goesOn, JOIN, pieceEnd, type Piece } from '../music/timeline.js';
import { joinedSoundings, NO_SOUNDINGS, Voices, type PackedSoundings } from './voices.js';

/** A timeline to be played: pieces ascending in `at`; `end` in seconds, not before the last piece ends. */
export interface Programme {
  readonly pieces: readonly Piece[];
  readonly soundings: PackedSoundings;
  readonly end: number;
}

/** What playing says of itself; `frame` counts the output's frames. The object is used again for the next one. */
export interface PlaybackReport {
  kind: 'started' | 'ended' | 'stopped';
  id: number;
  frame: number;
}

/** Seconds of the fade on stopping and before something else is played. */
export const FADE = 0.005;
/** Seconds a level takes from 0 to 1. */
const RAMP = 0.03;
const BLOCK = 128;
/** Seconds before a piece begins from which on its deck is made ready, a little in each block. */
const AHEAD = 0.15;
const PREPARE = 192;

interface Slot {
  readonly deck: Deck;
  /** Index of its piece; -1 when idle. */
  piece: number;
  /** Frames of the timeline: fading in from `start` to `whole`, sounding until `end`. */
  start: number;
  whole: number;
  end: number;
  /** Joined to what it follows, or is followed by, in one flow: the two sum to the same level in a straight line. */
  smoothIn: boolean;
  smoothOut: boolean;
}

/**
 * Plays programmes: pieces of one recording at any rate, joined without a hole, with short sounds placed to the frame.
 *
 * Knows no host: calls come between blocks, `render` fills them, `report` hears what happened. After the first piece of
 * each kind `render` allocates nothing.
 */
export class Playback {
  readonly #rate: number;
  readonly #report: (report: PlaybackReport) => void;
  readonly #answer: PlaybackReport = { kind: 'started', id: 0, frame: 0 };
  readonly #slots: readonly [Slot, Slot];
  readonly #voices: Voices;
  readonly #fade: number;
  readonly #join: number;
  readonly #scratch = [new Float32Array(BLOCK), new Float32Array(BLOCK)] as const;
  readonly #ramps = BUSES.map(() => new Float32Array(BLOCK));
  readonly #levels = BUSES.map(() => 0);
  readonly #targets = BUSES.map(() => 0);

  #source: PackedSound = NO_SOUND;
  #transpose = 0;
  #mix: SideMix = BOTH_SIDES;

  #programme: Programme = NOTHING;
  #id = -1;
  /** Frame of the timeline that comes next. */
  #at = 0;
  #next = 0;
  #playing = false;

  #pending: Programme | undefined;
  #pendingId = -1;
  /** Counts down while what sounds fades out. */
  #closing = 0;
  #leaving = false;
  #gone = false;

  constructor(sampleRate: number, instantiate: Instantiate, report: (report: PlaybackReport) => void) {
    this.#rate = sampleRate;
    this.#report = report;
    this.#fade = Math.max(1, Math.round(FADE * sampleRate));
    this.#join = Math.round(JOIN * sampleRate);
    this.#voices = new Voices(sampleRate);
    const slot = (): Slot => ({
      deck: new Deck(sampleRate, instantiate),
      piece: -1,
      start: 0,
      whole: 0,
      end: 0,
      smoothIn: false,
      smoothOut: false,
    });
    this.#slots = [slot(), slot()];
  }

  /** True once `unload` has been carried out and the last fade is over: no more sound will come. */
  get gone(): boolean {
    return this.#gone;
  }

  /** The recording. */
  load(sound: PackedSound): void {
    this.#silence();
    this.#source = sound;
  }

  /** Fades out and lets the recording go. */
  unload(): void {
    this.#leaving = true;
    this.#pending = undefined;
    if (!this.#playing) this.#leave();
    else if (this.#closing === 0) this.#closing = this.#fade;
  }

  /** Adds sounds for soundings to name by index, from index `first` on. */
  addSounds(first: number, sounds: readonly Float32Array[]): void {
    this.#voices.addSounds(first, sounds);
  }

  /** A gain for each of BUSES; while nothing plays it holds at once, else within RAMP. */
  setLevels(levels: readonly number[]): void {
    for (let bus = 0; bus < BUSES.length; bus++) {
      this.#targets[bus] = levels[bus] ?? 0;
      if (!this.#playing) this.#levels[bus] = this.#targets[bus]!;
    }
  }

  /** Semitones by which the recording is moved, and which of its sides are heard. */
  setTone(transpose: number, mix: SideMix): void {
    const direct = (piece: number, t: number) => isDirect(this.#programme.pieces[piece]?.rate ?? 1, t);
    for (const slot of this.#slots) {
      if (slot.piece < 0) continue;
      // Between the recording's own samples and stretched ones there is no way but to begin anew.
      if (direct(slot.piece, transpose) !== slot.deck.direct)
        this.#begin(slot, slot.piece, Math.max(this.#at, slot.start), transpose);
      else slot.deck.setTranspose(transpose);
    }
    this.#transpose = transpose;
    this.#mix = mix;
  }

  /** Plays `programme` from its beginning; what sounds is faded out first. */
  play(id: number, programme: Programme): void {
    this.#pending = programme;
    this.#pendingId = id;
    if (this.#playing && this.#closing === 0) this.#closing = this.#fade;
  }

  /** From second `at` of the timeline on, or from now where that has passed, `programme` holds; `at` and times in it are the timeline's own. */
  replace(id: number, at: number, programme: Programme): void {
    if (this.#pending && this.#pendingId === id) {
      this.#pending = joined(this.#pending, at, programme);
      return;
    }
    if (!this.#playing || id !== this.#id) return;
    const before = this.#programme.pieces;
    this.#programme = joined(this.#programme, Math.max(at, this.#at / this.#rate), programme);
    this.#findSounding();
    for (const slot of this.#slots) {
      const [was, is] = [before[slot.piece], this.#programme.pieces[slot.piece]];
      const same = was && is && was.at === is.at && was.from === is.from && was.rate === is.rate;
      if (same && slot.start <= this.#at) this.#setEnd(slot);
      else slot.piece = -1;
    }
  }

  stop(): void {
    this.#pending = undefined;
    if (this.#playing && this.#closing === 0) this.#closing = this.#fade;
  }

  /** Fills `frames` frames of both sides; `frame` is the output's number of the first. Both arrays are overwritten. */
  render(left: Float32Array, right: Float32Array, frames: number, frame: number): void {
    left.fill(0, 0, frames);
    right.fill(0, 0, frames);
    let done = 0;
    while (done < frames) {
      if (!this.#playing && this.#pending) this.#start(frame + done);
      const count = Math.min(BLOCK, frames - done, this.#toBoundary());
      this.#ramp(count);
      if (this.#playing) {
        this.#renderPieces(left, right, done, count);
        this.#startSoundings(count);
        this.#at += count;
      }
      this.#voices.mix(left, right, done, count, this.#ramps);
      if (this.#closing > 0) this.#close(left, right, done, count);
      done += count;
      if (this.#playing && this.#closing === 0 && this.#at >= this.#frameOf(this.#programme.end))
        this.#end(frame + done);
      if (this.#closing < 0) this.#closed(frame + done);
    }
  }

  #frameOf(time: number): number {
    return Math.round(time * this.#rate);
  }

  /** Frames until something begins, ends or must be decided; at least 1. */
  #toBoundary(): number {
    let count = BLOCK;
    if (this.#closing > 0) count = Math.min(count, this.#closing);
    if (!this.#playing) return count;
    const within = (at: number) => {
      if (at > this.#at) count = Math.min(count, at - this.#at);
    };
    within(this.#frameOf(this.#programme.end));
    for (const slot of this.#slots) {
      if (slot.piece < 0) continue;
      within(slot.start);
      within(slot.end);
    }
    const piece = this.#programme.pieces[this.#upcoming()];
    if (piece) within(Math.max(0, this.#frameOf(piece.at) - this.#join));
    return count;
  }

  #ramp(count: number): void {
    const step = 1 / (RAMP * this.#rate);
    for (let bus = 0; bus < BUSES.length; bus++) {
      let level = this.#levels[bus]!;
      const target = this.#targets[bus]!;
      const ramp = this.#ramps[bus]!;
      for (let i = 0; i < count; i++) {
        level = level < target ? Math.min(target, level + step) : Math.max(target, level - step);
        ramp[i] = level;
      }
      this.#levels[bus] = level;
    }
  }

  #start(frame: number): void {
    this.#programme = this.#pending!;
    this.#id = this.#pendingId;
    this.#pending = undefined;
    this.#at = 0;
    this.#playing = true;
    this.#closing = 0;
    for (const slot of this.#slots) slot.piece = -1;
    for (let bus = 0; bus < BUSES.length; bus++) this.#levels[bus] = this.#targets[bus]!;
    this.#findSounding();
    this.#say('started', this.#id, frame);
  }

  /** Index of the first piece that has no deck yet. */
  #upcoming(): number {
    let last = -1;
    for (const slot of this.#slots) last = Math.max(last, slot.piece);
    if (last >= 0) return last + 1;
    const { pieces } = this.#programme;
    let i = 0;
    while (i < pieces.length && this.#frameOf(pieceEnd(pieces[i]!)) <= this.#at) i++;
    return i;
  }

  #renderPieces(left: Float32Array, right: Float32Array, from: number, count: number): void {
    for (const slot of this.#slots) if (slot.piece >= 0 && slot.end <= this.#at) this.#leavePiece(slot);
    this.#arm();
    for (const slot of this.#slots) {
      if (slot.piece < 0) continue;
      if (slot.start > this.#at) {
        slot.deck.prepare(PREPARE, this.#mix);
        continue;
      }
      const [l, r] = this.#scratch;
      slot.deck.render(l, r, count, this.#mix);
      const level = this.#ramps[0]!;
      for (let i = 0; i < count; i++) {
        const gain = level[i]! * this.#edge(slot, this.#at + i);
        left[from + i]! += gain * l[i]!;
        if (right !== left) right[from + i]! += gain * r[i]!;
      }
    }
  }

  /** The piece's own gain: its fades. Unrelated pieces keep their power across a join, parts of one flow their sum. */
  #edge(slot: Slot, at: number): number {
    let gain = 1;
    if (at < slot.whole) {
      const x = (at - slot.start + 0.5) / (slot.whole - slot.start);
      gain = slot.smoothIn ? x : Math.sin((Math.PI / 2) * x);
    }
    const left = slot.end - at - 0.5;
    if (left < this.#join && !this.#continues(slot)) {
      const x = Math.max(0, left / this.#join);
      gain *= slot.smoothOut ? x : Math.sin((Math.PI / 2) * x);
    }
    return gain;
  }

  /** True when the same deck goes on with the next piece. */
  #continues(slot: Slot): boolean {
    const piece = this.#programme.pieces[slot.piece];
    const next = this.#programme.pieces[slot.piece + 1];
    return !!piece && !!next && goesOn(piece, next) && isDirect(next.rate, this.#transpose) === slot.deck.direct;
  }

  #leavePiece(slot: Slot): void {
    if (this.#continues(slot)) {
      slot.piece++;
      slot.deck.setRate(this.#programme.pieces[slot.piece]!.rate);
      this.#setEnd(slot);
    } else {
      slot.piece = -1;
    }
  }

  /** Gives the next piece a deck when its time is near. */
  #arm(): void {
    const index = this.#upcoming();
    const piece = this.#programme.pieces[index];
    if (!piece) return;
    const start = Math.max(0, this.#frameOf(piece.at) - this.#join);
    if (start - this.#at > AHEAD * this.#rate) return;
    const before = this.#slots.find((slot) => slot.piece === index - 1);
    if (before && this.#continues(before)) return;
    const slot = this.#slots.find((slot) => slot.piece < 0);
    if (slot) this.#begin(slot, index, Math.max(start, this.#at), this.#transpose);
  }

  /** Makes `slot` play piece `index` from frame `start` of the timeline on. */
  #begin(slot: Slot, index: number, start: number, transpose: number): void {
    const piece = this.#programme.pieces[index]!;
    const before = this.#programme.pieces[index - 1];
    slot.piece = index;
    slot.start = start;
    slot.whole = Math.max(this.#frameOf(piece.at), start + 1);
    slot.smoothIn = before !== undefined && goesOn(before, piece);
    this.#setEnd(slot);
    const place = piece.from + (start / this.#rate - piece.at) * piece.rate;
    slot.deck.begin(this.#source, place, piece.rate, transpose, this.#mix);
  }

  #setEnd(slot: Slot): void {
    const piece = this.#programme.pieces[slot.piece]!;
    const next = this.#programme.pieces[slot.piece + 1];
    slot.end = this.#frameOf(pieceEnd(piece));
    slot.smoothOut = next !== undefined && goesOn(piece, next);
  }

  /** First sounding not yet due. */
  #findSounding(): void {
    const { at } = this.#programme.soundings;
    let low = 0;
    let high = at.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.#frameOf(at[middle]!) < this.#at) low = middle + 1;
      else high = middle;
    }
    this.#next = low;
  }

  #startSoundings(count: number): void {
    const { soundings } = this.#programme;
    while (this.#next < soundings.at.length) {
      const offset = this.#frameOf(soundings.at[this.#next]!) - this.#at;
      if (offset >= count) return;
      if (offset >= 0) this.#voices.start(soundings, this.#next, offset);
      this.#next++;
    }
  }

  #close(left: Float32Array, right: Float32Array, from: number, count: number): void {
    for (let i = 0; i < count; i++) {
      const gain = --this.#closing / this.#fade;
      left[from + i]! *= gain;
      if (right !== left) right[from + i]! *= gain;
    }
    if (this.#closing === 0) this.#closing = -1;
  }

  #closed(frame: number): void {
    this.#closing = 0;
    const was = this.#playing;
    this.#playing = false;
    this.#voices.silence();
    if (was) this.#say('stopped', this.#id, frame);
    if (this.#leaving) this.#leave();
  }

  /** Sounds that still ring are heard out: only the programme has ended. */
  #end(frame: number): void {
    this.#playing = false;
    this.#say('ended', this.#id, frame);
    if (this.#leaving) this.#leave();
  }

  #silence(): void {
    this.#playing = false;
    this.#closing = 0;
    this.#pending = undefined;
    this.#voices.silence();
  }

  #leave(): void {
    this.#source = NO_SOUND;
    this.#gone = true;
  }

  #say(kind: PlaybackReport['kind'], id: number, frame: number): void {
    this.#answer.kind = kind;
    this.#answer.id = id;
    this.#answer.frame = frame;
    this.#report(this.#answer);
  }
}

const NOTHING: Programme = { pieces: [], soundings: NO_SOUNDINGS, end: 0 };

/** `first` up to second `at`, then `second`. */
function joined(first: Programme, at: number, second: Programme): Programme {
  const later = first.soundings.at.findIndex((time) => time >= at);
  const kept = later < 0 ? first.soundings.at.length : later;
  return {
    pieces: [...cutAt(first.pieces, at), ...second.pieces],
    soundings: joinedSoundings(first.soundings, kept, second.soundings),
    end: second.end,
  };
}
