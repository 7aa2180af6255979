import { clickSound, ACCENT_PITCH, BEAT_PITCH } from '../../../src/dsp/click.js';
import { ANALYSIS_RATE } from '../../../src/analysis/evidence/signal.js';
import { PlayedBand } from '../../support/played-band.js';

/** Sounds that are made by arithmetic alone, at ANALYSIS_RATE. */
export const BANDS = {
  /** From 100 to 128 beats a minute and back, without a jump; the last bars slow down. */
  drift(): Float32Array {
    const band = new PlayedBand(76, 11);
    band.play(0.8, 124, (i) =>
      i < 112 ? 0.53 + 0.065 * Math.cos((2 * Math.PI * i) / 112) : 0.6 * (1 + 0.05 * (i - 112)),
    );
    return band.signal;
  },
  /** Free, in time, free, in time, a held chord. */
  free(): Float32Array {
    const band = new PlayedBand(88, 5);
    band.ramble(0.5, 9);
    const first = band.play(9.6, 44, () => 0.6);
    band.ramble(first + 0.3, first + 10);
    const last = band.play(first + 10.4, 40, () => 0.6, { bar: 3 });
    band.hold(last, 12);
    return band.signal;
  },
  silence: (): Float32Array => new Float32Array(12 * ANALYSIS_RATE),
  /** 16 s of clicks at 120, every fourth an accent. */
  clicks(): Float32Array {
    const signal = new Float32Array(17 * ANALYSIS_RATE);
    for (let k = 0; k < 32; k++) {
      const sound = clickSound(ANALYSIS_RATE, k % 4 === 0 ? ACCENT_PITCH : BEAT_PITCH);
      signal.set(
        sound.map((value) => 0.6 * value),
        Math.round((0.3 + k / 2) * ANALYSIS_RATE),
      );
    }
    return signal;
  },
  /** Two bars and a half of 4/4. */
  short(): Float32Array {
    const band = new PlayedBand(6.2, 7);
    band.play(0.4, 10, () => 0.52);
    return band.signal;
  },
} as const;
