import WaveSurfer from 'wavesurfer.js';
import type { Peaks } from '../../../dsp/peaks.js';
import type { Seconds } from '../../../music/units.js';

/** Between these factors what is drawn is stretched for a moment rather than drawn anew. */
const LEAST_STRETCH = 0.8;
const MOST_STRETCH = 2;

/** Going out, the next drawing is this much further out than asked for, so that it lasts for a while. */
const AHEAD = 0.6;

/** How much wider than its window the drawing must be, so that there is something to show when it is squeezed. */
export const DRAWN_WIDTH = 1 / LEAST_STRETCH;

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
  /** Pixels a second: as drawn, and as last asked for. */
  private drawn = 0;
  private wanted = { from: 0, perSecond: 0 };
  /** What was last put in place: doing it again would lay the page out for nothing. */
  private placed = '';

  /** `fill`: the whole recording always fills the container. Otherwise `look` says what is shown. */
  constructor(
    private readonly container: HTMLElement,
    height: number,
    colour: string,
    fill: boolean,
  ) {
    container.style.transformOrigin = 'left';
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
      fillParent: fill,
      minPxPerSec: fill ? 0 : 1,
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
    this.drawn = 0;
    this.pending?.();
    this.pending = undefined;
  }

  /**
   * Shows `span` seconds from `from` in `width` CSS pixels. While the scale changes by little, what is drawn is
   * stretched instead of drawn anew; then the answer is true, and `settle` is to be called once it stands still.
   */
  look(from: Seconds, span: Seconds, width: number): boolean {
    if (!this.ready) {
      this.pending = () => void this.look(from, span, width);
      return false;
    }
    if (width <= 0 || span <= 0) return false;
    this.wanted = { from, perSecond: width / span };
    const stretch = this.wanted.perSecond / this.drawn;
    if (this.drawn === 0 || stretch >= MOST_STRETCH) this.redraw(1);
    else if (stretch <= LEAST_STRETCH) this.redraw(AHEAD);
    this.place();
    return this.drawn !== this.wanted.perSecond;
  }

  /** Draws at the scale that is shown, if what is drawn was only stretched to it. */
  settle(): void {
    if (!this.ready || this.drawn === this.wanted.perSecond) return;
    this.redraw(1);
    this.place();
  }

  private redraw(scale: number): void {
    this.placed = '';
    this.drawn = this.wanted.perSecond * scale;
    this.wave.zoom(this.drawn);
  }

  private place(): void {
    const { from, perSecond } = this.wanted;
    const place = `${from} ${perSecond} ${this.drawn}`;
    if (place === this.placed) return;
    this.placed = place;
    this.wave.setScroll(from * this.drawn);
    // A scroll position is a whole pixel and ends with the recording: the rest is shifted.
    const rest = from * this.drawn - this.wave.getScroll();
    const stretch = perSecond / this.drawn;
    this.container.style.transform = `translateX(${-rest * stretch}px) scaleX(${stretch})`;
  }

  colour(colour: string): void {
    if (colour === this.wave.options.waveColor) return;
    this.placed = '';
    this.wave.setOptions({ waveColor: colour, progressColor: colour });
  }

  height(height: number): void {
    if (height === this.wave.options.height) return;
    this.placed = '';
    this.wave.setOptions({ height });
  }

  destroy(): void {
    this.pending = undefined;
    this.wave.destroy();
  }
}

/** Height of the loudest moment, and the exponent that lifts quiet passages so that their attacks can be seen. */
const TALLEST = 0.96;
const LIFT = 0.8;

/** The outline as two rows, above and below the middle, 0 to TALLEST; silence fills what is not known yet. */
function halves(peaks: Peaks, duration: Seconds): [Float32Array, Float32Array] {
  const known = peaks.data.length >> 1;
  const length = Math.max(known, Math.round(duration * peaks.rate));
  let loudest = 1;
  for (const value of peaks.data) loudest = Math.max(loudest, Math.abs(value));
  const above = new Float32Array(length);
  const below = new Float32Array(length);
  for (let i = 0; i < known; i += 1) {
    above[i] = TALLEST * (Math.max(0, peaks.data[2 * i + 1] ?? 0) / loudest) ** LIFT;
    below[i] = TALLEST * (Math.max(0, -(peaks.data[2 * i] ?? 0)) / loudest) ** LIFT;
  }
  return [above, below];
}
