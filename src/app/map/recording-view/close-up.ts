import { msg } from '@lit/localize';
import { clockText } from '../../../music/clock-text.js';
import { computed } from '@preact/signals-core';
import { html, type PropertyValues } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { Seconds } from '../../../music/units.js';
import { moveBeatTo } from '../beat-actions.js';
import type { OpenSong, Session } from '../../kit/session.js';
import { barAt, barList, lastStarted, type BarItem } from '../bar-list.js';
import { CloseUpPointer, type Gestures, type Grip } from './close-up-pointer.js';
import { FrameController, MediaController, ResizeController, TimerController } from '../../kit/owners.js';
import { PlayClock } from '../../kit/play-clock.js';
import { EffectController, SignalElement } from '../../kit/signal-element.js';
import { placeWords } from '../position-text.js';
import { base } from '../../kit/styles/shared.js';
import {
  drawGround,
  drawLines,
  type Sheet,
  LOW_LANES,
  NARROW_LANES,
  totalHeight,
  WIDE_LANES,
  type Lanes,
} from './close-up-draw.js';
import { closeUpStyles } from './close-up-styles.js';
import { closeUp, nearestBeat } from './close-up-geometry.js';
import { InkController } from './inks.js';
import {
  fitWindow,
  PAGE_TO,
  showTime,
  timeToX,
  turnPage,
  xToTime,
  zoomWindow,
  type Scale,
  type TimeWindow,
} from './time-scale.js';
import { moveTo } from './move-line.js';
import { Waveform } from './waveform.js';

/** Milliseconds without zooming after which the waveform is drawn at its new scale. */
const SETTLE = 120;

/** How near a mouse must come to a line to hold it, and a finger in the lane of the pins; a click this near means the beat. */
const MOUSE_REACH = 4;
const FINGER_REACH = 22;
const CLICK_REACH = 8;

/** The recording close up: waveform, bar lines and numbers, beats, sections, locks; to scroll, zoom, click and drag in. */
@customElement('bw-close-up')
export class CloseUpView extends SignalElement {
  static override styles = [base, closeUpStyles];

  @property({ attribute: false }) session!: Session;
  @query('.stage') private stage!: HTMLElement;
  @query('.ground') private ground!: HTMLCanvasElement;
  @query('.lines') private lines!: HTMLCanvasElement;
  @query('.wave') private waveBox!: HTMLElement;
  @query('.head') private head!: HTMLElement;
  @query('.sounding') private sounding!: HTMLElement;
  @query('.target') private target!: HTMLElement;

  /** How often the canvases were drawn: watched by tests and the benchmark. */
  draws = 0;

  private readonly frame = new FrameController(this);
  private readonly rest = new TimerController(this);
  private readonly narrow = new MediaController(this, '(max-width: 720px)');
  private readonly low = new MediaController(this, '(max-height: 900px)');
  private readonly ink = new InkController(this);
  private readonly pointer = new CloseUpPointer(this, () => this.stage, this.gestures());
  // What the picture is made of; whether the song is being saved, say, draws nothing anew.
  private readonly peaks = computed(() => this.session.song.value?.peaks);
  private readonly changed = computed(() => this.session.song.value?.changed);
  private readonly duration = computed(() => this.session.map.value?.recording.duration ?? 0);
  private readonly theme = computed(() => this.session.settings.value.theme);
  private wave: Waveform | undefined;
  private width = 0;
  private held: { readonly x: number; readonly from: number } | undefined;
  private following = true;
  private wasPlaying = false;
  private paged: TimeWindow | undefined;
  private soundingBar: BarItem | undefined;
  private lastHead: Seconds = 0;

  constructor() {
    super();
    new ResizeController(
      this,
      () => this.stage,
      (width) => {
        this.width = width;
        this.plan();
      },
    );
    new EffectController(this, () => this.watch());
    new PlayClock(this, (at, playing) => this.moveHead(at, playing));
    void document.fonts.ready.then(() => this.plan());
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.wave?.destroy();
    this.wave = undefined;
  }

  override render(): unknown {
    const lanes = this.lanes;
    const height = totalHeight(lanes);
    return html`<div
      class="stage"
      @keydown=${this.keyed}
      role="slider"
      tabindex="0"
      aria-label=${msg('Recording, close-up')}
      aria-valuemin="0"
      aria-valuemax=${Math.round(this.duration.value)}
      .style="height: ${height}px; --head-top: ${lanes.band}px; --pins: ${lanes.pins}px"
    >
      <canvas class="ground"></canvas>
      <div class="wave" inert .style="top: ${lanes.band + lanes.numbers}px; height: ${lanes.wave}px"></div>
      <canvas class="lines"></canvas>
      <div class="sounding" hidden></div>
      <div class="target" hidden></div>
      <div class="head"></div>
    </div>`;
  }

  protected override updated(changed: PropertyValues): void {
    super.updated(changed);
    this.wave?.height(this.lanes.wave);
    this.plan();
  }

  private get lanes(): Lanes {
    if (this.narrow.matches) return NARROW_LANES;
    return this.low.matches ? LOW_LANES : WIDE_LANES;
  }

  private get song(): OpenSong | undefined {
    return this.session.song.peek();
  }

  private get scale(): Scale {
    return { ...this.session.view.window.peek(), width: this.width };
  }

  /** Everything the picture depends on is read here, so that a change of any asks for one drawing. */
  private watch(): void {
    const { map, view, tapping } = this.session;
    const peaks = this.peaks.value;
    const duration = this.duration.value;
    void [map.value, this.changed.value, this.theme.value, view.window.value, view.selection.value, tapping.value];
    if (peaks) {
      this.wave ??= new Waveform(this.waveBox, this.lanes.wave, this.ink.inks.wave, false);
      void this.wave.show(peaks, duration);
      const window = view.window.peek();
      const fitted = fitWindow(window.span > 0 ? window : { from: 0, span: 20 }, duration);
      if (fitted.from !== window.from || fitted.span !== window.span) view.window.value = fitted;
    }
    this.plan();
  }

  private plan(): void {
    if (this.isConnected && this.hasUpdated) this.frame.once(() => this.draw());
  }

  private draw(): void {
    const { song } = this;
    if (!song || this.width <= 0) return;
    const { scale, lanes } = this;
    const { inks } = this.ink;
    const picture = closeUp(song.map, scale);
    const tapping = this.session.tapping.peek();
    const strong = new Set(tapping?.downbeats);
    const overlay = {
      selected: this.session.view.selection.peek(),
      changed: new Set(song.changed),
      taps: (tapping?.beats ?? []).map((time) => ({ x: timeToX(scale, time), strong: strong.has(time) })),
      held: this.held,
    };
    const sheet = (canvas: HTMLCanvasElement): Sheet => {
      return { to: context(canvas, this.width, totalHeight(lanes)), lanes, width: this.width, inks };
    };
    drawGround(sheet(this.ground), picture, overlay);
    drawLines(sheet(this.lines), picture, overlay);
    this.wave?.colour(inks.wave);
    const stretched = this.wave?.look(scale.from, scale.span, this.width);
    if (stretched) this.rest.after(SETTLE, () => this.wave?.settle());
    this.draws += 1;
    this.soundingBar = undefined;
    this.moveHead(this.lastHead, this.session.playing.peek());
  }

  private moveHead(at: Seconds, playing: boolean): void {
    const { song } = this;
    const moved = at !== this.lastHead;
    this.lastHead = at;
    if (!song || !this.hasUpdated || this.width <= 0) return;
    if (playing) this.follow(at, song);
    else if (moved) this.reveal(at, song);
    if (!playing) this.wasPlaying = false;
    const x = timeToX(this.scale, at);
    this.head.style.transform = `translateX(${x.toFixed(2)}px)`;
    this.head.hidden = x < -2 || x > this.width + 2;
    this.light(song, at, playing);
    if (!playing && moved) this.tell(song, at);
    if (!playing && !this.stage.hasAttribute('aria-valuetext')) this.tell(song, at);
  }

  /** Turns the page while the sound runs, unless the user has looked elsewhere. */
  private follow(at: Seconds, song: OpenSong): void {
    const { view } = this.session;
    const window = view.window.peek();
    const seen = at >= window.from && at <= window.from + window.span;
    if (!this.wasPlaying) this.following = true;
    else if (window !== this.paged) this.following = seen;
    this.paged = window;
    this.wasPlaying = true;
    if (!this.following || this.held) return;
    const { duration } = song.map.recording;
    const next = turnPage(seen ? window : showTime(window, at, PAGE_TO, duration), at, duration);
    if (next.from === window.from) return;
    this.paged = next;
    view.window.value = next;
  }

  /** A cursor moved by a key or from another view comes into sight. */
  private reveal(at: Seconds, song: OpenSong): void {
    const { view } = this.session;
    const window = view.window.peek();
    const next = showTime(window, at, 0.3, song.map.recording.duration);
    if (next !== window) view.window.value = next;
  }

  /** Underlines the bar that sounds and outlines the one a length key would mean. */
  private light(song: OpenSong, at: Seconds, playing: boolean): void {
    const bars = barList(song.map);
    const now = playing ? barAt(song.map, at) : undefined;
    if (now !== this.soundingBar) {
      this.soundingBar = now;
      this.lay(this.sounding, now, true);
    }
    const aim = playing ? this.session.lengthTarget() : undefined;
    const item = aim === undefined ? undefined : bars[aim];
    if (this.target.dataset['bar'] === String(item?.index)) return;
    this.target.dataset['bar'] = String(item?.index);
    this.lay(this.target, item, false);
  }

  private lay(element: HTMLElement, item: BarItem | undefined, stretch: boolean): void {
    element.hidden = !item;
    if (!item) return;
    const left = timeToX(this.scale, item.start);
    const wide = timeToX(this.scale, item.end) - left;
    element.style.transform = `translateX(${left}px)${stretch ? ` scaleX(${wide})` : ''}`;
    if (!stretch) element.style.width = `${wide}px`;
  }

  private tell(song: OpenSong, at: Seconds): void {
    this.stage.setAttribute('aria-valuenow', String(Math.round(at * 10) / 10));
    this.stage.setAttribute('aria-valuetext', `${placeWords(song.map, at)}, ${clockText(at)}`);
  }

  private readonly keyed = (event: KeyboardEvent): void => {
    if (event.key === 'Escape' && this.pointer.abandon()) event.preventDefault();
  };

  private gestures(): Gestures {
    return {
      grip: (x, y, shift, touch) => this.gripAt(x, y, shift, touch),
      click: (x, y) => this.clickAt(x, y),
      doubleClick: (x) => this.playFrom(x),
      drag: (grip, from, to, last) => this.drag(grip, from, to, last),
      pan: (pixels) => this.pan(pixels),
      zoom: (factor, x) => this.zoom(factor, x),
      hover: (x, y) => {
        if (x === undefined) delete this.stage.dataset['grip'];
        else this.stage.dataset['grip'] = this.gripAt(x, y, false, false).kind;
      },
    };
  }

  private gripAt(x: number, y: number, shift: boolean, touch: boolean): Grip {
    const { song, lanes } = this;
    if (!song || shift) return { kind: 'select' };
    if (y < lanes.band) return { kind: 'pan' };
    if (y < lanes.band + lanes.numbers) return { kind: 'select' };
    const onPins = y > lanes.band + lanes.numbers + lanes.wave;
    const reach = touch ? (onPins ? FINGER_REACH : 0) : onPins ? 2 * MOUSE_REACH : MOUSE_REACH;
    const line = reach > 0 ? nearestBeat(song.map, this.scale, x, reach) : undefined;
    return line && this.beatsShown(line.time) ? { kind: 'line', time: line.time } : { kind: 'pan' };
  }

  /** A line that is not drawn cannot be held. */
  private beatsShown(time: Seconds): boolean {
    const { song } = this;
    if (!song) return false;
    const picture = closeUp(song.map, this.scale);
    const x = timeToX(this.scale, time);
    return [...picture.bars, ...picture.beats].some((mark) => Math.abs(mark.x - x) < 0.5);
  }

  private clickAt(x: number, y: number): void {
    const { song, lanes } = this;
    if (!song) return;
    const { view } = this.session;
    const time = Math.min(Math.max(xToTime(this.scale, x), 0), song.map.recording.duration);
    if (y >= lanes.band && y < lanes.band + lanes.numbers) {
      const item = barAt(song.map, time);
      view.selection.value = item && { first: item.index, last: item.index };
      if (item) this.placeCursor(item.start);
      return;
    }
    view.selection.value = undefined;
    this.placeCursor(nearestBeat(song.map, this.scale, x, CLICK_REACH)?.time ?? time);
  }

  private placeCursor(time: Seconds): void {
    this.session.view.cursor.value = time;
    if (this.session.playing.peek()) void this.session.play(time);
  }

  private playFrom(x: number): void {
    const { song } = this;
    if (!song) return;
    const time = xToTime(this.scale, x);
    const item = barAt(song.map, time);
    void this.session.play(item?.start ?? Math.max(0, time));
  }

  private drag(grip: Grip, from: number, to: number | undefined, last: boolean): void {
    if (grip.kind === 'select') this.select(from, to);
    if (grip.kind !== 'line') return;
    const { song } = this;
    const moved = song && to !== undefined ? moveTo(song, this.scale, grip.time, to) : undefined;
    this.held =
      last || moved === undefined ? undefined : { x: timeToX(this.scale, moved), from: timeToX(this.scale, grip.time) };
    this.plan();
    if (last && moved !== undefined) void moveBeatTo(this.session, grip.time, moved);
  }

  private select(from: number, to: number | undefined): void {
    const { song } = this;
    if (!song) return;
    const bars = barList(song.map);
    const { view } = this.session;
    if (to === undefined) {
      view.selection.value = undefined;
      return;
    }
    const ends = [from, to].map((x) => Math.max(0, lastStarted(bars, xToTime(this.scale, x))));
    if (bars.length > 0) view.selection.value = { first: Math.min(...ends), last: Math.max(...ends) };
  }

  private pan(pixels: number): void {
    const { song } = this;
    if (!song || this.width <= 0) return;
    const window = this.session.view.window.peek();
    const from = window.from + (pixels / this.width) * window.span;
    this.session.view.window.value = fitWindow({ from, span: window.span }, song.map.recording.duration);
  }

  private zoom(factor: number, x: number): void {
    const { song } = this;
    if (!song || this.width <= 0) return;
    const { view } = this.session;
    const around = xToTime(this.scale, x);
    view.window.value = zoomWindow(view.window.peek(), factor, around, song.map.recording.duration);
  }
}

/** The canvas sized for the screen's own pixels, its context in CSS pixels. */
function context(canvas: HTMLCanvasElement, width: number, height: number): CanvasRenderingContext2D {
  const ratio = devicePixelRatio || 1;
  const wide = Math.round(width * ratio);
  const high = Math.round(height * ratio);
  if (canvas.width !== wide || canvas.height !== high) {
    canvas.width = wide;
    canvas.height = high;
    canvas.style.width = `${width}px`;
    canvas.style.height = `${height}px`;
  }
  const to = canvas.getContext('2d');
  if (!to) throw new Error('close-up: this browser gives no canvas to draw on');
  to.setTransform(ratio, 0, 0, ratio, 0, 0);
  return to;
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-close-up': CloseUpView;
  }
}
