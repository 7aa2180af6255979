import { parseHarte, bassPitch, chordPitches } from '../../music/chord.js';
import { mod12 } from '../../music/pitch.js';
import { isTyped, soundingInBar, soundingOn } from '../../model/pass-chords.js';
import type { SongMap } from '../../model/song-map.js';
import { barSlots, trackMeans, type BarSlot } from '../bars/bar-grid.js';
import type { Evidence } from '../evidence/evidence.js';

/** Pitch classes, then bass pitch classes. */
export const SOUND_SIZE = 24;

/** Seconds left out at a beat's start (the last chord still rings) and end, for beats of half a second or more. */
const SKIP_START = 0.08;
const SKIP_END = 0.04;

/** What a bar sounds like, beat by beat. */
export interface BarSound {
  readonly beats: number;
  /** SOUND_SIZE values a beat: chroma, then bass, each less its mean and of length 1; zeros in silence. */
  readonly beatwise: Float32Array;
  /** The same of the chords, for a bar whose chords are all the user's. */
  readonly typed?: Float32Array;
}

/** The bars of a map as they were heard; without evidence as their chords are written. */
export function barSounds(map: SongMap, evidence?: Evidence): BarSound[] {
  const bars = barSlots(map.spans, map.end);
  const heard = evidence && rememberedSounds(evidence, bars);
  return bars.map(({ bar }, i): BarSound => {
    const typed = isTyped(map, i);
    const written = typed || !heard ? chordSound(map, i) : undefined;
    const beatwise = heard?.[i] ?? (written as Float32Array);
    return { beats: bar.beats.length, beatwise, ...(typed && written ? { typed: written } : {}) };
  });
}

/** Sounds of bars that are remembered; more are a song solved in many ways, and it begins anew. */
const MOST = 5000;

const known = new WeakMap<Evidence, Map<string, Float32Array>>();

/** The same array for a bar that lies where it lay. */
function rememberedSounds(evidence: Evidence, bars: readonly BarSlot[]): Float32Array[] {
  let sounds = known.get(evidence);
  if (!sounds || sounds.size > MOST) known.set(evidence, (sounds = new Map()));
  const all = sounds;
  return bars.map((slot) => {
    const key = `${slot.bar.beats.join()},${slot.end}`;
    let sound = all.get(key);
    if (!sound) all.set(key, (sound = heardSounds(evidence, [slot])[0] as Float32Array));
    return sound;
  });
}

/** Beat-synchronous chroma and bass (after Ellis & Poliner 2007) of each bar, as in BarSound. */
export function heardSounds(evidence: Evidence, bars: readonly BarSlot[]): Float32Array[] {
  const chroma = trackMeans(evidence.tracks.chroma);
  const bass = trackMeans(evidence.tracks.bass);
  return bars.map(({ bar, end }) => {
    const beatwise = new Float32Array(bar.beats.length * SOUND_SIZE);
    bar.beats.forEach((time, k) => {
      const next = bar.beats[k + 1] ?? end;
      const share = Math.min(1, (next - time) / 0.5);
      chroma.mean(time + SKIP_START * share, next - SKIP_END * share, beatwise, k * SOUND_SIZE);
      bass.mean(time + SKIP_START * share, next - SKIP_END * share, beatwise, k * SOUND_SIZE + 12);
    });
    return toUnits(beatwise);
  });
}

/** The sounding chords of a bar as such a sound: the notes equally strong, the bass alone in the bass. */
function chordSound(map: SongMap, index: number): Float32Array {
  const sounding = soundingInBar(map, index);
  const bar = barSlots(map.spans, map.end)[index]?.bar;
  const beatwise = new Float32Array((bar?.beats.length ?? 0) * SOUND_SIZE);
  for (let beat = 0; beat * SOUND_SIZE < beatwise.length; beat++) {
    const chord = parseHarte(soundingOn(sounding, beat) ?? 'N');
    if (chord?.kind !== 'chord') continue;
    for (const pitch of chordPitches(chord)) beatwise[beat * SOUND_SIZE + pitch] = 1;
    beatwise[beat * SOUND_SIZE + 12 + (bassPitch(chord) ?? 0)] = 1;
  }
  return toUnits(beatwise);
}

/** Takes the level that all twelve pitch classes share off, so that unrelated chords are at a right angle or beyond. */
function toUnits(beatwise: Float32Array): Float32Array {
  for (let at = 0; at < beatwise.length; at += 12) {
    let sum = 0;
    for (let k = at; k < at + 12; k++) sum += beatwise[k] as number;
    let square = 0;
    for (let k = at; k < at + 12; k++) {
      beatwise[k] = (beatwise[k] as number) - sum / 12;
      square += (beatwise[k] as number) ** 2;
    }
    const scale = square > 1e-9 ? 1 / Math.sqrt(square) : 0;
    for (let k = at; k < at + 12; k++) beatwise[k] = (beatwise[k] as number) * scale;
  }
  return beatwise;
}

/** The sound `shift` semitones higher. */
export function transposed(sound: BarSound, shift: number): BarSound {
  if (mod12(shift) === 0) return sound;
  const { beats, beatwise, typed } = sound;
  return { beats, beatwise: rotated(beatwise, shift), ...(typed ? { typed: rotated(typed, shift) } : {}) };
}

function rotated(beatwise: Float32Array, shift: number): Float32Array {
  const out = new Float32Array(beatwise.length);
  for (let at = 0; at < out.length; at += 12) {
    for (let k = 0; k < 12; k++) out[at + mod12(k + shift)] = beatwise[at + k] as number;
  }
  return out;
}

/** Several bars in one key heard as one: the mean of their beats, as many beats as most of them have. */
export function pooledSound(sounds: readonly BarSound[]): BarSound {
  const counts = sounds.map(({ beats }) => beats).sort((a, b) => a - b);
  const beats = counts[counts.length >> 1] ?? 0;
  const beatwise = new Float32Array(beats * SOUND_SIZE);
  for (const sound of sounds) {
    const shared = Math.min(beatwise.length, sound.beatwise.length);
    for (let k = 0; k < shared; k++) beatwise[k] = (beatwise[k] as number) + (sound.beatwise[k] as number);
  }
  return { beats, beatwise: toUnits(beatwise) };
}
