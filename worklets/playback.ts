import { clickSound } from '../src/dsp/click.js';
import type { PlayerReport, PlayerRequest, Segment } from './player-messages.js';

/** Seconds of the fades at the start and end of a segment and on stopping. */
export const FADE = 0.005;
/** Seconds a level takes from 0 to 1. */
const RAMP = 0.03;
const VOICES = 8;
const NONE = -1;

/**
 * The player's sound, frame by frame: a schedule of segments of one recording, with clicks placed to the sample.
 *
 * Knows no host: `take` hears requests, `render` fills blocks and hands reports to `report`. `render` allocates
 * nothing; the report object it hands over is used again for the next one.
 */
export class Playback {
  readonly #rate: number;
  readonly #report: (report: PlayerReport) => void;
  readonly #answer: { kind: PlayerReport['kind']; id: number; frame: number } = { kind: 'synced', id: 0, frame: 0 };
  readonly #sounds: readonly [Float32Array, Float32Array];
  readonly #fade: number;

  #left: Float32Array = new Float32Array(0);
  #right: Float32Array = this.#left;
  /** Source samples per output frame. */
  #step = 1;
  #sourceRate: number;

  #places: Float64Array = new Float64Array(0);
  #accents: Uint8Array = new Uint8Array(0);
  #nextClick = 0;

  #segments: readonly Segment[] = [];
  #segment = 0;
  /** Output frames into the segment, and its length. */
  #at = 0;
  #length = 0;
  #id = NONE;
  #sounding = false;
  #begun = false;

  #pending: readonly Segment[] | undefined;
  #pendingId = NONE;
  /** Counts down while what sounds fades out. */
  #closing = 0;

  #recordingLevel = 0;
  #recordingTarget = 0;
  #clickLevel = 0;
  #clickTarget = 0;

  #leaving = false;
  #gone = false;

  readonly #voiceAt = new Int32Array(VOICES).fill(NONE);
  readonly #voiceAccent = new Uint8Array(VOICES);
  #voice = 0;

  constructor(sampleRate: number, report: (report: PlayerReport) => void) {
    this.#rate = sampleRate;
    this.#sourceRate = sampleRate;
    this.#report = report;
    this.#fade = Math.max(1, Math.round(FADE * sampleRate));
    this.#sounds = [clickSound(sampleRate, false), clickSound(sampleRate, true)];
  }

  take(request: PlayerRequest, frame: number): void {
    switch (request.kind) {
      case 'load': {
        this.#silence();
        this.#left = request.channels[0] ?? new Float32Array(0);
        this.#right = request.channels[1] ?? this.#left;
        this.#sourceRate = request.sampleRate;
        this.#step = request.sampleRate / this.#rate;
        return;
      }
      case 'unload':
        this.#leaving = true;
        this.#pending = undefined;
        if (!this.#sounding) this.#leave();
        else if (this.#closing === 0) this.#closing = this.#fade;
        return;
      case 'clicks':
        this.#places = request.places;
        this.#accents = request.accents;
        if (this.#sounding) this.#findClick();
        return;
      case 'levels':
        this.#recordingTarget = request.recording;
        this.#clickTarget = request.click;
        if (!this.#sounding) {
          this.#recordingLevel = request.recording;
          this.#clickLevel = request.click;
        }
        return;
      case 'play':
        this.#pending = request.segments;
        this.#pendingId = request.id;
        if (this.#sounding && this.#closing === 0) this.#closing = this.#fade;
        return;
      case 'stop':
        this.#pending = undefined;
        if (this.#sounding && this.#closing === 0) this.#closing = this.#fade;
        return;
      case 'sync':
        this.#say('synced', request.id, frame);
        return;
    }
  }

  /** True once `unload` has been carried out and the last fade is over: no more sound will come. */
  get gone(): boolean {
    return this.#gone;
  }

  /** Fills `frames` frames of both sides; `frame` is the context's frame of the first. Both arrays are overwritten. */
  render(left: Float32Array, right: Float32Array, frames: number, frame: number): void {
    const levelStep = 1 / (RAMP * this.#rate);
    for (let i = 0; i < frames; i++) {
      if (!this.#sounding && this.#pending) this.#start();
      this.#recordingLevel = toward(this.#recordingLevel, this.#recordingTarget, levelStep);
      this.#clickLevel = toward(this.#clickLevel, this.#clickTarget, levelStep);
      let l = 0;
      let r = 0;
      if (this.#sounding) {
        while (this.#at >= this.#length && this.#sounding) this.#nextSegment(frame + i);
      }
      if (this.#sounding) {
        if (!this.#begun) {
          this.#begun = true;
          this.#say('started', this.#id, frame + i);
        }
        const edge = Math.min(this.#at + 1, this.#length - this.#at, this.#fade) / this.#fade;
        const gain = edge * this.#recordingLevel;
        const place = this.#segments[this.#segment]!.from * this.#sourceRate + this.#at * this.#step;
        l = gain * sampleAt(this.#left, place, this.#step);
        r = this.#right === this.#left ? l : gain * sampleAt(this.#right, place, this.#step);
        this.#startClicks();
        this.#at++;
      }
      const click = this.#clicks() * this.#clickLevel;
      l += click;
      r += click;
      if (this.#closing > 0) {
        this.#closing--;
        const gain = this.#closing / this.#fade;
        l *= gain;
        r *= gain;
        if (this.#closing === 0) {
          const id = this.#id;
          const wasSounding = this.#sounding;
          this.#silence(true);
          if (wasSounding) this.#say('stopped', id, frame + i + 1);
          if (this.#leaving) this.#leave();
        }
      }
      left[i] = l;
      right[i] = r;
    }
  }

  #start(): void {
    this.#segments = this.#pending!;
    this.#id = this.#pendingId;
    this.#pending = undefined;
    this.#segment = 0;
    this.#sounding = true;
    this.#begun = false;
    this.#closing = 0;
    this.#recordingLevel = this.#recordingTarget;
    this.#clickLevel = this.#clickTarget;
    this.#enterSegment();
  }

  #enterSegment(): void {
    const segment = this.#segments[this.#segment];
    this.#at = 0;
    this.#length = segment ? Math.round((segment.until - segment.from) * this.#rate) : 0;
    this.#findClick();
  }

  #nextSegment(frame: number): void {
    this.#segment++;
    if (this.#segment < this.#segments.length) {
      this.#enterSegment();
      return;
    }
    // Clicks that still ring are heard out: only the schedule has ended.
    this.#sounding = false;
    if (this.#leaving) this.#leave();
    if (!this.#begun) this.#say('started', this.#id, frame);
    this.#say('ended', this.#id, frame);
  }

  /** First click not yet due: half-open, so that a click on the seam of two segments sounds once. */
  #findClick(): void {
    const segment = this.#segments[this.#segment];
    if (!segment) return;
    const due = segment.from + (this.#at - 0.5) / this.#rate;
    let low = 0;
    let high = this.#places.length;
    while (low < high) {
      const middle = (low + high) >> 1;
      if (this.#places[middle]! < due) low = middle + 1;
      else high = middle;
    }
    this.#nextClick = low;
  }

  #startClicks(): void {
    const from = this.#segments[this.#segment]!.from;
    while (this.#nextClick < this.#places.length) {
      const due = Math.round((this.#places[this.#nextClick]! - from) * this.#rate);
      if (due > this.#at) return;
      if (due === this.#at) {
        this.#voiceAt[this.#voice] = 0;
        this.#voiceAccent[this.#voice] = this.#accents[this.#nextClick] ?? 0;
        this.#voice = (this.#voice + 1) % VOICES;
      }
      this.#nextClick++;
    }
  }

  #clicks(): number {
    let sum = 0;
    for (let v = 0; v < VOICES; v++) {
      const at = this.#voiceAt[v]!;
      if (at === NONE) continue;
      const sound = this.#sounds[this.#voiceAccent[v] ? 1 : 0]!;
      sum += sound[at]!;
      this.#voiceAt[v] = at + 1 < sound.length ? at + 1 : NONE;
    }
    return sum;
  }

  #silence(keepPending = false): void {
    this.#sounding = false;
    this.#closing = 0;
    if (!keepPending) this.#pending = undefined;
    this.#voiceAt.fill(NONE);
  }

  #leave(): void {
    this.#left = this.#right = new Float32Array(0);
    this.#gone = true;
  }

  #say(kind: PlayerReport['kind'], id: number, frame: number): void {
    this.#answer.kind = kind;
    this.#answer.id = id;
    this.#answer.frame = frame;
    this.#report(this.#answer as PlayerReport);
  }
}

function toward(value: number, target: number, step: number): number {
  return value < target ? Math.min(target, value + step) : Math.max(target, value - step);
}

/**
 * The sample at a fractional place: the nearest one when source and output run at the same rate, else four-point
 * cubic interpolation (Catmull & Rom 1974). Zero outside.
 */
function sampleAt(samples: Float32Array, place: number, step: number): number {
  if (step === 1) return samples[Math.round(place)] ?? 0;
  const i = Math.floor(place);
  const f = place - i;
  const a = samples[i - 1] ?? 0;
  const b = samples[i] ?? 0;
  const c = samples[i + 1] ?? 0;
  const d = samples[i + 2] ?? 0;
  return b + 0.5 * f * (c - a + f * (2 * a - 5 * b + 4 * c - d + f * (3 * (b - c) + d - a)));
}
