import { BOTH_SIDES, type SideMix } from '../dsp/side-mix.js';
import type { PackedSound } from '../dsp/packed-sound.js';
import { Playback } from '../dsp/playback.js';
import { soundOf } from '../dsp/sound-bank.js';
import type { Speech } from '../dsp/speech.js';
import type { Instantiate } from '../dsp/stretch.js';
import { packed } from '../dsp/voices.js';
import type { PlayPlan } from '../model/play-plan.js';
import { BUSES, type Bus, type SoundName } from '../music/timeline.js';

export interface TrackOptions {
  readonly levels: Readonly<Record<Bus, number>>;
  /** Semitones by which the recording is moved. */
  readonly transpose: number;
  /** Which sides of the recording are heard; each as it is without. */
  readonly mix?: SideMix;
}

/** A block of a track: `frames` of each side, in arrays that the next block overwrites. */
export interface TrackBlock {
  readonly left: Float32Array;
  readonly right: Float32Array;
  readonly frames: number;
}

/** Frames made at a time. */
const BLOCK = 128 * 256;
/** Seconds that sounds may ring after the end. */
const RING = 0.5;

/** Frames that the track of a plan has at `sampleRate`. */
export function trackFrames(plan: PlayPlan, sampleRate: number): number {
  return Math.ceil((plan.end + RING) * sampleRate);
}

/**
 * The sound of a plan at the recording's own sample rate, block by block. The very engine that plays makes it, so what is heard
 * is what is written. `speech`: what numbers and chords are spoken with.
 */
export function* renderTrack(
  pcm: PackedSound,
  plan: PlayPlan,
  instantiate: Instantiate,
  options: TrackOptions,
  speech?: Speech,
): Generator<TrackBlock, void> {
  const rate = pcm.sampleRate;
  const playback = new Playback(rate, instantiate, () => {});
  const names: SoundName[] = [];
  const soundings = packed(plan.soundings, (name) => {
    const known = names.indexOf(name);
    return known >= 0 ? known : names.push(name) - 1;
  });
  playback.addSounds(
    0,
    names.map((name) => soundOf(name, rate, speech) ?? new Float32Array(1)),
  );
  playback.load(pcm);
  playback.setLevels(BUSES.map((bus) => options.levels[bus]));
  playback.setTone(options.transpose, options.mix ?? BOTH_SIDES);
  playback.play(1, { pieces: plan.pieces, soundings, end: plan.end + RING });
  const left = new Float32Array(BLOCK);
  const right = new Float32Array(BLOCK);
  const frames = trackFrames(plan, rate);
  for (let done = 0; done < frames; done += BLOCK) {
    const count = Math.min(BLOCK, frames - done);
    playback.render(left, right, count, done);
    soften(left, count);
    soften(right, count);
    yield { left, right, frames: count };
  }
}

/** Loudest sample that stays as it is; what clicks on top of a loud recording add is bent below 1 instead of cut off. */
const KNEE = 0.9;

function soften(side: Float32Array, frames: number): void {
  for (let i = 0; i < frames; i++) {
    const over = Math.abs(side[i]!) - KNEE;
    if (over > 0) side[i] = Math.sign(side[i]!) * (KNEE + (1 - KNEE) * Math.tanh(over / (1 - KNEE)));
  }
}
