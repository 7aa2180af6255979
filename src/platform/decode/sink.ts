import { msg, str } from '@lit/localize';
import { ANALYSIS_RATE, type AnalysisSignal } from '../../analysis/evidence/signal.js';
import type { Pcm } from '../../dsp/pcm.js';
import { PEAK_RATE, type Peaks } from '../../dsp/peaks.js';
import { resample, Resampler } from '../../dsp/resample.js';
import { fold, mean, toCount } from './fold.js';
import { Growing } from './growing.js';
import { RecordingProblem } from './problem.js';
import type { PcmChunk } from './sound.js';

const HIGHEST_RATE = 48000;
/** Rates that a file may have, in Hz; what is asked for is 8000 to 192000. */
const RATES = { lowest: 4000, highest: 384000 };
/** What is heard of a recording at a high rate lies below 20 kHz. */
const PASS = 20000 / 24000;

/**
 * Takes decoded sound piece by piece and keeps of it what is needed: at most two channels at no more than 48 kHz, the
 * mono signal for the analysis, and the outline. A moment of the recording is at the same time in all three.
 */
export class Sink {
  readonly #expected: number;
  readonly #analysed: boolean;
  #input: Input | undefined;
  #rate = 0;
  #channels: Growing[] = [];
  #mono: Growing | undefined;
  /** Arrays to fold into again and again. */
  #room: readonly Float32Array[] = [];
  #toAnalysis: Resampler | undefined;
  readonly #outline = new Outline();
  #duration = 0;
  #stereoPower = 0;
  #monoPower = 0;

  /** `expected`: seconds to set memory aside for; `analysed`: false leaves the signal for the analysis empty. */
  constructor(expected: number, analysed = true) {
    this.#expected = expected;
    this.#analysed = analysed;
  }

  /** Seconds taken so far. */
  get seconds(): number {
    return this.#rate === 0 ? 0 : (this.#channels[0]?.length ?? 0) / this.#rate;
  }

  push(chunk: PcmChunk): void {
    if (!chunk.channels[0]?.length) return;
    const folded = fold(chunk.channels, chunk.order, this.#room);
    if (!(this.#room[0] && this.#room[0].length >= folded[0]!.length)) this.#room = folded;
    const rate = Math.round(chunk.sampleRate);
    if (this.#input?.rate !== rate) this.#begin(rate, folded.length);
    const channels = toCount(folded, this.#channels.length);
    this.#keep(this.#input!.resamplers ? channels.map((x, c) => this.#input!.resamplers![c]!.push(x)) : channels);
  }

  /** Seconds in all, once it is finished. */
  get duration(): number {
    return this.#duration;
  }

  /** Largest magnitude so far. */
  get peak(): number {
    return this.#outline.peak;
  }

  /** The outline so far, from its step `from` on. */
  outline(from: number): Int8Array {
    return this.#outline.from(from);
  }

  /** Ends the sound; call once. No sample at all: channels of length 0. */
  finish(): { readonly pcm: Pcm; readonly signal: AnalysisSignal; readonly peaks: Peaks } {
    this.#endInput();
    this.#outline.end();
    this.#duration = this.seconds;
    const channels = this.#channels.map((channel) => channel.take());
    if (this.#toAnalysis) this.#mono!.push(this.#toAnalysis.finish());
    let signal = this.#mono?.take() ?? new Float32Array(0);
    // Channels that are one another's opposite cancel in their mean; then one of them is what there is to analyse.
    if (this.#analysed && channels[1] && this.#monoPower < 1e-3 * this.#stereoPower)
      signal = resample(channels[0]!, this.#rate, ANALYSIS_RATE);
    // The analysis must not see a sample beyond the recording's last one.
    const most = Math.floor(((channels[0]?.length ?? 0) / this.#rate) * ANALYSIS_RATE);
    if (signal.length > most) signal = signal.subarray(0, most);
    return {
      pcm: { sampleRate: this.#rate, channels },
      signal,
      peaks: { rate: PEAK_RATE, data: this.#outline.from(0) },
    };
  }

  #begin(rate: number, count: number): void {
    if (!(rate >= RATES.lowest && rate <= RATES.highest))
      throw new RecordingProblem(
        'broken',
        msg(
          str`The file says that its sample rate is ${rate} Hz; recordings of ${RATES.lowest / 1000} to ${RATES.highest / 1000} kHz can be read. Export it again at 44.1 or 48 kHz.`,
        ),
      );
    this.#endInput();
    if (this.#rate === 0) {
      this.#rate = rate <= HIGHEST_RATE ? rate : rate % 44100 === 0 ? 44100 : HIGHEST_RATE;
      const room = (at: number) => new Growing(Math.ceil(this.#expected * at));
      this.#channels = Array.from({ length: count }, () => room(this.#rate));
      if (this.#analysed) this.#mono = room(ANALYSIS_RATE);
      if (this.#analysed && this.#rate !== ANALYSIS_RATE) this.#toAnalysis = new Resampler(this.#rate, ANALYSIS_RATE);
      this.#outline.begin(this.#rate);
    }
    const resamplers =
      rate === this.#rate ? undefined : this.#channels.map(() => new Resampler(rate, this.#rate, PASS));
    this.#input = { rate, resamplers };
  }

  #endInput(): void {
    const resamplers = this.#input?.resamplers;
    this.#input = undefined;
    if (resamplers) this.#keep(resamplers.map((resampler) => resampler.finish()));
  }

  #keep(channels: readonly Float32Array[]): void {
    const mono = mean(channels);
    channels.forEach((samples, c) => {
      this.#channels[c]!.push(samples);
      this.#stereoPower += power(samples) / channels.length;
    });
    this.#monoPower += power(mono);
    this.#mono?.push(this.#toAnalysis ? this.#toAnalysis.push(mono) : mono);
    this.#outline.push(channels);
  }
}

function power(samples: Float32Array): number {
  let sum = 0;
  for (let i = 0; i < samples.length; i++) sum += samples[i]! ** 2;
  return sum;
}

interface Input {
  readonly rate: number;
  /** One a channel; absent when the rate stays. */
  readonly resamplers: readonly Resampler[] | undefined;
}

/** Lowest and highest sample of each 1/PEAK_RATE s, as they come. */
class Outline {
  #rate = 1;
  #data = new Int8Array(1 << 14);
  #steps = 0;
  #low = Infinity;
  #high = -Infinity;
  /** Samples seen, and the number of the sample that ends the step under way. */
  #at = 0;
  #until = 0;
  #open = false;
  /** Largest magnitude of the steps written. */
  peak = 0;

  begin(rate: number): void {
    this.#rate = rate;
    this.#until = this.#boundary(1);
  }

  push(channels: readonly Float32Array[]): void {
    const length = channels[0]!.length;
    for (let from = 0; from < length;) {
      const to = Math.min(length, from + this.#until - this.#at);
      let low = this.#low;
      let high = this.#high;
      for (const channel of channels)
        for (let i = from; i < to; i++) {
          const x = channel[i]!;
          if (x < low) low = x;
          if (x > high) high = x;
        }
      this.#low = low;
      this.#high = high;
      this.#at += to - from;
      this.#open = true;
      from = to;
      if (this.#at === this.#until) this.end();
    }
  }

  /** Writes the step under way, if it has begun. */
  end(): void {
    if (!this.#open) return;
    if (2 * this.#steps === this.#data.length) {
      const longer = new Int8Array(2 * this.#data.length);
      longer.set(this.#data);
      this.#data = longer;
    }
    this.#data[2 * this.#steps] = Math.round(127 * Math.max(-1, this.#low));
    this.#data[2 * this.#steps + 1] = Math.round(127 * Math.min(1, this.#high));
    this.peak = Math.max(this.peak, -this.#low, this.#high);
    this.#steps++;
    this.#until = this.#boundary(this.#steps + 1);
    this.#low = Infinity;
    this.#high = -Infinity;
    this.#open = false;
  }

  from(step: number): Int8Array {
    return this.#data.slice(2 * step, 2 * this.#steps);
  }

  #boundary(step: number): number {
    return Math.floor((step * this.#rate) / PEAK_RATE);
  }
}
