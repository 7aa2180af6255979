/**
 * Mel-frequency cepstral coefficients of a magnitude spectrum (Davis & Mermelstein 1980), the first one the loudness.
 * The mel scale is that of O'Shaughnessy 1987 (2595 log10(1 + f / 700)).
 */
export interface MelCepstrum {
  readonly coefficients: number;
  /** Writes `coefficients` values for a magnitude spectrum. */
  cepstrum(spectrum: Float32Array, into: Float32Array): void;
}

const BANDS = 36;
const LOW_HZ = 60;
const HIGH_HZ = 10000;
const FLOOR = 1e-8;

/** A plan for spectra of `bins` bins, each `binHz` wide; triangular bands from 60 Hz to 10 kHz. */
export function melCepstrum(bins: number, binHz: number, coefficients: number): MelCepstrum {
  const mel = (hz: number): number => 2595 * Math.log10(1 + hz / 700);
  const hertz = (m: number): number => 700 * (10 ** (m / 2595) - 1);
  const top = mel(Math.min(HIGH_HZ, (bins - 1) * binHz));
  const edges = Array.from({ length: BANDS + 2 }, (_, i) =>
    hertz(mel(LOW_HZ) + ((top - mel(LOW_HZ)) * i) / (BANDS + 1)),
  );
  const bands = Array.from({ length: BANDS }, (_, b) =>
    band(edges[b] ?? 0, edges[b + 1] ?? 0, edges[b + 2] ?? 0, binHz),
  );
  const cosines = Float32Array.from({ length: coefficients * BANDS }, (_, i) =>
    Math.cos((Math.PI * Math.floor(i / BANDS) * ((i % BANDS) + 0.5)) / BANDS),
  );
  const logs = new Float32Array(BANDS);
  return {
    coefficients,
    cepstrum(spectrum, into) {
      for (let b = 0; b < BANDS; b++) {
        const { first, weights } = bands[b] as Band;
        let sum = 0;
        for (let i = 0; i < weights.length; i++) {
          const value = spectrum[first + i] as number;
          sum += (weights[i] as number) * value * value;
        }
        logs[b] = Math.log(sum + FLOOR);
      }
      for (let c = 0; c < coefficients; c++) {
        let sum = 0;
        for (let b = 0; b < BANDS; b++) sum += (cosines[c * BANDS + b] as number) * (logs[b] as number);
        into[c] = sum / BANDS;
      }
    },
  };
}

interface Band {
  readonly first: number;
  readonly weights: Float32Array;
}

function band(low: number, middle: number, high: number, binHz: number): Band {
  const first = Math.ceil(low / binHz);
  const last = Math.max(first, Math.floor(high / binHz));
  const weights = Float32Array.from({ length: last - first + 1 }, (_, i) => {
    const hz = (first + i) * binHz;
    return Math.max(0, hz < middle ? (hz - low) / (middle - low) : (high - hz) / (high - middle));
  });
  return { first, weights };
}
