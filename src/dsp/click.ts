/** Seconds a click lasts; the last fifth fades out. */
export const CLICK_LENGTH = 0.05;
/** Hz of the accented click (beat 1) and of the others: a fourth apart, above the thick of a mix. */
export const ACCENT_PITCH = 2093;
export const BEAT_PITCH = 1568;

const ATTACK = 0.0005;
const DECAY = 0.009;
const PEAK = 0.9;

/**
 * One click: a short tone with its octave, attack 0.5 ms, decay about 9 ms, starting and ending at zero.
 * `sampleRate` in Hz, at least 8000; `pitch` in Hz. Returns CLICK_LENGTH seconds, largest sample PEAK (0.9). Own synthesis.
 */
export function clickSound(sampleRate: number, pitch: number): Float32Array {
  if (!(sampleRate >= 8000))
    throw new RangeError(`clickSound: found a sample rate of ${sampleRate}; give at least 8000`);
  const length = Math.round(CLICK_LENGTH * sampleRate);
  const sound = new Float32Array(length);
  let largest = 0;
  for (let i = 0; i < length; i++) {
    const t = i / sampleRate;
    const phase = 2 * Math.PI * pitch * t;
    const octave = pitch * 2 < sampleRate * 0.45 ? 0.35 * Math.sin(2 * phase) : 0;
    const attack = t < ATTACK ? 0.5 - 0.5 * Math.cos((Math.PI * t) / ATTACK) : 1;
    const left = (length - 1 - i) / (length * 0.2);
    const value = (Math.sin(phase) + octave) * attack * Math.exp(-t / DECAY) * Math.min(1, left);
    sound[i] = value;
    largest = Math.max(largest, Math.abs(value));
  }
  for (let i = 0; i < length; i++) sound[i] = (sound[i]! * PEAK) / largest;
  return sound;
}
