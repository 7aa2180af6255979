import { computed } from '@preact/signals-core';
import { css, html, nothing, type PropertyValues } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { Peaks } from '../../../dsp/peaks.js';
import type { Seconds } from '../../../music/units.js';
import type { SongMap } from '../../../model/song-map.js';
import type { Session } from '../../kit/session.js';
import { barList } from '../bar-list.js';
import { FrameController, ResizeController } from '../../kit/owners.js';
import { PlayClock } from '../../kit/play-clock.js';
import { EffectController, SignalElement } from '../../kit/signal-element.js';
import { base } from '../../kit/styles/shared.js';
import { sectionColour } from '../../../model/section-colours.js';
import { InkController } from './inks.js';
import { fitWindow } from './time-scale.js';
import { Waveform } from './waveform.js';

const HEIGHT = 34;

/** The whole recording, thin: sections as a band, doubts as ticks, what the close-up shows as a frame, the playhead. */
@customElement('bw-overview')
export class Overview extends SignalElement {
  static override styles = [
    base,
    css`
      .stage {
        position: relative;
        overflow: hidden;
        touch-action: none;
        user-select: none;
        -webkit-user-select: none;
        cursor: pointer;
      }
      .wave {
        height: 34px;
        pointer-events: none;
      }
      .band {
        position: relative;
        height: 16px;
      }
      .section {
        position: absolute;
        top: 0;
        bottom: 0;
        overflow: hidden;
        border-top: 3px solid var(--section);
        border-left: 1px solid var(--paper);
        background: color-mix(in srgb, var(--section) 16%, transparent);
        font-family: var(--music);
        font-weight: 600;
        font-size: 11px;
        line-height: 13px;
        padding-left: 3px;
        white-space: nowrap;
      }
      .ticks {
        position: relative;
        height: 9px;
      }
      .tick {
        position: absolute;
        top: 1px;
        width: 0;
        height: 7px;
        border-left: 2px dashed var(--caution);
        margin-left: -1px;
      }
      .frame {
        position: absolute;
        top: 0;
        bottom: 9px;
        border: 1.5px solid var(--ink);
        border-radius: 2px;
        pointer-events: none;
        min-width: 5px;
      }
      .shade {
        position: absolute;
        top: 0;
        height: 34px;
        background: color-mix(in srgb, var(--paper) 55%, transparent);
        pointer-events: none;
      }
      .head {
        position: absolute;
        top: 0;
        bottom: 0;
        left: -1px;
        width: 2px;
        background: var(--play);
        pointer-events: none;
        will-change: transform;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @query('.stage') private stage!: HTMLElement;
  @query('.wave') private waveBox!: HTMLElement;
  @query('.frame') private box!: HTMLElement;
  @query('.head') private head!: HTMLElement;

  private readonly frame = new FrameController(this);
  private readonly ink = new InkController(this);
  private readonly peaks = computed(() => this.session.song.value?.peaks);
  private readonly duration = computed(() => this.session.map.value?.recording.duration ?? 1);
  private readonly theme = computed(() => this.session.settings.value.theme);
  private wave: Waveform | undefined;
  private dragging = false;
  private width = 0;
  private at: Seconds = 0;

  constructor() {
    super();
    new EffectController(this, () => {
      if (this.peaks.value) this.outline(this.peaks.value, this.duration.value);
    });
    new EffectController(this, () => {
      void [this.session.view.window.value, this.duration.value, this.theme.value];
      this.plan();
    });
    new ResizeController(
      this,
      () => this.stage,
      (width) => {
        this.width = width;
        this.moveHead();
      },
    );
    new PlayClock(this, (at) => {
      this.at = at;
      this.moveHead();
    });
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.wave?.destroy();
    this.wave = undefined;
  }

  protected override updated(changed: PropertyValues): void {
    super.updated(changed);
    this.plan();
  }

  override render(): unknown {
    const map = this.session.map.value;
    return html`<div
      class="stage"
      aria-hidden="true"
      @pointerdown=${this.press}
      @pointermove=${this.move}
      @pointerup=${this.release}
      @pointercancel=${this.release}
    >
      <div class="wave" inert></div>
      <div class="band">${map ? this.renderSections(map) : nothing}</div>
      <div class="ticks">${map ? this.renderTicks(map) : nothing}</div>
      <div class="frame"></div>
      <div class="head"></div>
    </div>`;
  }

  private renderSections(map: SongMap): unknown {
    const end = barList(map).at(-1)?.end ?? map.end;
    return map.sections.map((section, place) => {
      const right = map.sections[place + 1]?.start ?? end;
      return html`<div
        class="section"
        title="${section.letter} ${section.name}"
        .style="left: ${this.share(section.start)}%; width: ${this.share(right - section.start)}%; --section: ${sectionColour(
          section.letter,
        )}"
      >
        ${section.letter}
      </div>`;
    });
  }

  private renderTicks(map: SongMap): unknown {
    return map.doubts.map(
      (doubt) => html`<div class="tick" title=${doubt.text} .style="left: ${this.share(doubt.time)}%"></div>`,
    );
  }

  private share(time: Seconds): string {
    return ((time / this.duration.value) * 100).toFixed(4);
  }

  private outline(peaks: Peaks, duration: Seconds): void {
    this.wave ??= new Waveform(this.waveBox, HEIGHT, this.ink.inks.wave, true);
    void this.wave.show(peaks, duration);
  }

  private moveHead(): void {
    this.head.style.transform = `translateX(${((this.at / this.duration.value) * this.width).toFixed(1)}px)`;
  }

  private plan(): void {
    this.frame.once(() => this.draw());
  }

  private draw(): void {
    this.wave?.colour(this.ink.inks.wave);
    const { from, span } = this.session.view.window.peek();
    this.box.style.left = `${this.share(from)}%`;
    this.box.style.width = `${this.share(Math.min(span, this.duration.value))}%`;
  }

  private readonly press = (event: PointerEvent): void => {
    if (event.button !== 0) return;
    this.stage.setPointerCapture(event.pointerId);
    this.dragging = true;
    const time = this.timeOf(event);
    this.session.view.cursor.value = time;
    if (this.session.playing.peek()) void this.session.play(time);
    this.centre(time);
  };

  private readonly move = (event: PointerEvent): void => {
    if (this.dragging) this.centre(this.timeOf(event));
  };

  private readonly release = (): void => {
    this.dragging = false;
  };

  private centre(time: Seconds): void {
    const { view } = this.session;
    const { span } = view.window.peek();
    view.window.value = fitWindow({ from: time - span / 2, span }, this.duration.value);
  }

  private timeOf(event: PointerEvent): Seconds {
    const rect = this.stage.getBoundingClientRect();
    return Math.min(Math.max((event.clientX - rect.left) / rect.width, 0), 1) * this.duration.value;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-overview': Overview;
  }
}
