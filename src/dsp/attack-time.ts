/** Running sums from which the energy of any stretch of a signal, and of its slope, follows at once. */
export interface AttackSums {
  readonly sampleRate: number;
  readonly energy: Float64Array;
  readonly slope: Float64Array;
}

export function attackSums(signal: Float32Array, sampleRate: number): AttackSums {
  const energy = new Float64Array(signal.length + 1);
  const slope = new Float64Array(signal.length + 1);
  let before = 0;
  for (let i = 0; i < signal.length; i++) {
    const x = signal[i] as number;
    energy[i + 1] = (energy[i] as number) + x * x;
    slope[i + 1] = (slope[i] as number) + (x - before) * (x - before);
    before = x;
  }
  return { sampleRate, energy, slope };
}

/** Seconds compared before and after an attack, and the stretch whose mean energy hides fainter ones. */
const BEFORE = 0.02;
const AFTER = 0.008;
const AROUND = 0.25;
const FLOOR = 0.02;
const STEP = 0.001;
/** Rises this close, in nats, are the same. */
const EQUAL = 0.01;

/**
 * The moment between `from` and `to` (seconds) at which the sound rises most sharply: where the energy of the next 8 ms is
 * largest against that of the last 20 ms, in the signal and in its slope (which hears the high parts) together.
 */
export function attackTime(sums: AttackSums, from: number, to: number): number {
  const { sampleRate, energy, slope } = sums;
  const last = energy.length - 1;
  const mean = (of: Float64Array, a: number, b: number): number => {
    const i = Math.max(0, Math.min(last, Math.round(a * sampleRate)));
    const j = Math.max(0, Math.min(last, Math.round(b * sampleRate)));
    return j > i ? ((of[j] as number) - (of[i] as number)) / (j - i) : 0;
  };
  const middle = (from + to) / 2;
  const floors = [energy, slope].map((of) => FLOOR * mean(of, middle - AROUND, middle + AROUND) + 1e-12);
  const rise = (time: number): number => {
    let sum = 0;
    [energy, slope].forEach((of, k) => {
      const floor = floors[k] as number;
      sum += Math.log((mean(of, time, time + AFTER) + floor) / (mean(of, time - BEFORE, time) + floor));
    });
    return sum;
  };
  let best = -Infinity;
  let arg = middle;
  for (let time = from; time <= to + 1e-9; time += STEP) {
    const value = rise(time);
    // A click is as far ahead at any of these times: of equals the last is its start.
    if (value > best - EQUAL) arg = time;
    if (value > best) best = value;
  }
  return arg;
}
