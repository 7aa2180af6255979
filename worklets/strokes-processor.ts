import { StrokeDetector } from '../src/dsp/strokes.js';
import { STROKES_PROCESSOR, type StrokeReport } from './strokes-messages.js';

/** Hears strokes in its input and tells when they were; the sound itself goes nowhere. */
class StrokesProcessor extends AudioWorkletProcessor {
  /** Frame of the context that is the detector's first. */
  #began = -1;
  readonly #detector = new StrokeDetector(sampleRate, (frame) => {
    const report: StrokeReport = { at: (this.#began + frame) / sampleRate };
    this.port.postMessage(report);
  });
  #ended = false;

  constructor() {
    super();
    this.port.onmessage = () => (this.#ended = true);
  }

  process(inputs: Float32Array[][]): boolean {
    const samples = inputs[0]?.[0];
    if (samples) {
      if (this.#began < 0) this.#began = currentFrame;
      this.#detector.push(samples);
    }
    return !this.#ended;
  }
}

registerProcessor(STROKES_PROCESSOR, StrokesProcessor);
