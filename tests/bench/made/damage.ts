import type { Dice } from './dice.js';

/** A mono signal as worse recordings have it: some get noise, a narrow band, a long reverb or several of them; most stay. */
export function damaged(d: Dice, signal: Float32Array, rate: number): Float32Array {
  let out = signal;
  if (d.chance(0.3)) out = reverberant(out, rate, d.real(0.15, 0.5), d.real(0.6, 2.2));
  if (d.chance(0.35)) out = noisy(d, out, d.real(4, 24));
  if (d.chance(0.2)) out = highPassed(lowPassed(out, rate, d.real(2500, 5000)), rate, d.real(80, 280));
  return out;
}

/** Pink noise so many decibels below the music. */
function noisy(d: Dice, signal: Float32Array, below: number): Float32Array {
  let power = 0;
  for (const v of signal) power += v * v;
  const gain = Math.sqrt(power / Math.max(1, signal.length)) * 10 ** (-below / 20) * 1.1;
  let [a, b, c] = [0, 0, 0];
  return signal.map((v) => {
    const white = 2 * d.next() - 1;
    a = 0.99765 * a + white * 0.099046;
    b = 0.963 * b + white * 0.2965164;
    c = 0.57 * c + white * 1.0526913;
    return v + gain * 0.6 * (a + b + c + white * 0.1848);
  });
}

/** Comb filters in parallel (Schroeder 1962). */
function reverberant(signal: Float32Array, rate: number, wet: number, seconds: number): Float32Array {
  const out = signal.slice();
  for (const delay of [0.0297, 0.0371, 0.0411, 0.0437, 0.0673, 0.0911]) {
    const n = Math.round(delay * rate);
    const feedback = 10 ** ((-3 * delay) / seconds);
    const line = new Float32Array(n);
    for (let i = 0, at = 0; i < signal.length; i++, at = at + 1 === n ? 0 : at + 1) {
      const delayed = line[at] as number;
      line[at] = (signal[i] as number) + feedback * delayed;
      out[i] = (out[i] as number) + wet * 0.4 * delayed;
    }
  }
  return out;
}

function lowPassed(signal: Float32Array, rate: number, hertz: number): Float32Array {
  const k = 1 - Math.exp((-2 * Math.PI * hertz) / rate);
  let [one, two] = [0, 0];
  return signal.map((v) => {
    one += k * (v - one);
    two += k * (one - two);
    return two;
  });
}

function highPassed(signal: Float32Array, rate: number, hertz: number): Float32Array {
  const low = lowPassed(signal, rate, hertz);
  return signal.map((v, i) => v - (low[i] as number));
}
