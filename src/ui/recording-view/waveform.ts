import WaveSurfer from 'wavesurfer.js';
import type { Peaks } from '../../dsp/peaks.js';
import type { Seconds } from '../../music/units.js';

/**
 * Draws a recording's outline into an element; it never plays, fetches or listens. The close-up shows a window of the
 * recording, the overview all of it.
 */
export class Waveform {
  private readonly wave: WaveSurfer;
  private duration: Seconds = 0;
  private shown: Peaks | undefined;
  private ready = false;
  private pending: (() => void) | undefined;

  constructor(container: HTMLElement, height: number, colour: string) {
    this.wave = WaveSurfer.create({
      container,
      height,
      waveColor: colour,
      progressColor: colour,
      cursorWidth: 0,
      interact: false,
      autoScroll: false,
      autoCenter: false,
      hideScrollbar: true,
      fillParent: true,
    });
  }

  /** Takes another outline; `duration` in seconds of the whole recording, which the outline may not reach yet. */
  async show(peaks: Peaks, duration: Seconds): Promise<void> {
    if (peaks === this.shown && duration === this.duration) return;
    this.shown = peaks;
    this.duration = duration;
    this.ready = false;
    try {
      await this.wave.load('', halves(peaks, duration), duration);
    } catch (problem) {
      // A newer outline took over.
      if (problem instanceof DOMException && problem.name === 'AbortError') return;
      throw problem;
    }
    this.ready = true;
    this.pending?.();
    this.pending = undefined;
  }

  /** Shows `span` seconds from `from` in `width` CSS pixels; returns the first second really shown, on a whole pixel. */
  look(from: Seconds, span: Seconds, width: number): void {
    if (!this.ready) {
      this.pending = () => this.look(from, span, width);
      return;
    }
    if (width <= 0 || span <= 0) return;
    const perSecond = width / span;
    if (Math.abs(this.wave.options.minPxPerSec - perSecond) > 1e-6 * perSecond) this.wave.zoom(perSecond);
    this.wave.setScroll(from * perSecond);
  }

  colour(colour: string): void {
    if (colour === this.wave.options.waveColor) return;
    this.wave.setOptions({ waveColor: colour, progressColor: colour });
  }

  height(height: number): void {
    if (height !== this.wave.options.height) this.wave.setOptions({ height });
  }

  destroy(): void {
    this.pending = undefined;
    this.wave.destroy();
  }
}

/** The outline as two rows, above and below the middle, 0 to 1, its loudest moment at 0.96; silence fills what is not known yet. */
function halves(peaks: Peaks, duration: Seconds): [Float32Array, Float32Array] {
  const known = peaks.data.length >> 1;
  const length = Math.max(known, Math.round(duration * peaks.rate));
  let loudest = 1;
  for (const value of peaks.data) loudest = Math.max(loudest, Math.abs(value));
  const scale = 0.96 / loudest;
  const above = new Float32Array(length);
  const below = new Float32Array(length);
  for (let i = 0; i < known; i += 1) {
    above[i] = Math.max(0, peaks.data[2 * i + 1] ?? 0) * scale;
    below[i] = Math.max(0, -(peaks.data[2 * i] ?? 0)) * scale;
  }
  return [above, below];
}
