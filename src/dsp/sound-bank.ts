import type { SoundName } from '../music/timeline.js';
import { spokenSound, type Speech } from './speech.js';
import { ACCENT_PITCH, BEAT_PITCH, clickSound, CLICK_LENGTH } from './click.js';

/** Hz of each kind of click; all lie above the thick of a mix and a fourth or more apart. */
const PITCHES: Readonly<Record<string, number>> = {
  beat: BEAT_PITCH,
  one: ACCENT_PITCH,
  odd: 2794,
  part: 1175,
  count: 1047,
  'count one': 1397,
};
/** Seconds a plucked string rings. */
const RING = 1.6;

/**
 * The sound of a name at `sampleRate` (Hz), mono, peak 0.9 at most; undefined for a name it has no sound for. A number that
 * cannot be spoken, without `speech`, is a tone instead.
 */
export function soundOf(name: SoundName, sampleRate: number, speech?: Speech): Float32Array | undefined {
  const [kind, number, ...more] = name.split(' ');
  if (kind === 'pluck') return pluckedString(440 * 2 ** ((Number(number) - 69) / 12), sampleRate);
  if (kind === 'say') {
    const spoken = speech && spokenSound(speech, [number!, ...more], sampleRate);
    if (spoken || !/^\d+$/.test(name.slice(4))) return spoken;
    return clickSound(sampleRate, PITCHES[number === '1' ? 'count one' : 'count']!);
  }
  if (kind === 'mute') return mutedStroke(sampleRate);
  const pitch = PITCHES[name];
  return pitch === undefined ? undefined : clickSound(sampleRate, pitch);
}

/**
 * A plucked string of `pitch` Hz: a burst of noise round and round a delay with a mild low pass (Karplus & Strong
 * 1983; the fraction of the delay by an all-pass filter, Jaffe & Smith 1983). Peak 0.6.
 */
export function pluckedString(pitch: number, sampleRate: number): Float32Array {
  const sound = new Float32Array(Math.round(RING * sampleRate));
  // The low pass delays by half a sample.
  const period = sampleRate / pitch - 0.5;
  const whole = Math.floor(period - 0.1);
  const part = period - whole;
  const allPass = (1 - part) / (1 + part);
  const line = new Float32Array(Math.max(2, whole));
  let seed = 7;
  let smooth = 0;
  for (let i = 0; i < line.length; i++) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    smooth += 0.5 * (seed / 2 ** 31 - 1 - smooth);
    line[i] = smooth;
  }
  // Strings of every pitch ring about as long.
  const loss = 0.001 ** (1 / (pitch * RING));
  let [lastIn, lastOut, last] = [0, 0, 0];
  let largest = 0;
  for (let i = 0; i < sound.length; i++) {
    const at = i % line.length;
    const value = line[at]!;
    const low = loss * 0.5 * (value + last);
    last = value;
    lastOut = allPass * (low - lastOut) + lastIn;
    lastIn = low;
    line[at] = lastOut;
    sound[i] = value;
    largest = Math.max(largest, Math.abs(value));
  }
  const fade = 0.2 * sampleRate;
  for (let i = 0; i < sound.length; i++) {
    sound[i] =
      ((sound[i]! * 0.6) / largest) *
      Math.min(1, (sound.length - 1 - i) / fade) *
      Math.min(1, i / (0.001 * sampleRate));
  }
  return sound;
}

/** A stroke over damped strings: a short dull noise, peak 0.4. */
function mutedStroke(sampleRate: number): Float32Array {
  const sound = new Float32Array(Math.round(CLICK_LENGTH * sampleRate));
  let seed = 3;
  let smooth = 0;
  let largest = 0;
  for (let i = 0; i < sound.length; i++) {
    seed = (Math.imul(seed, 1664525) + 1013904223) >>> 0;
    smooth += 0.25 * (seed / 2 ** 31 - 1 - smooth);
    const value = smooth * Math.exp(-i / (0.008 * sampleRate)) * Math.min(1, i / (0.001 * sampleRate));
    sound[i] = value;
    largest = Math.max(largest, Math.abs(value));
  }
  return sound.map((x, i) => ((x * 0.4) / largest) * Math.min(1, (sound.length - 1 - i) / (0.01 * sampleRate)));
}
