import { msg } from '@lit/localize';
import '../kit/task-bar.js';
import { css, html, nothing } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { FoundBeats } from '../../analysis/progress.js';
import type { Peaks } from '../../dsp/peaks.js';
import type { Session } from '../kit/session.js';
import { PlayClock } from '../kit/play-clock.js';
import { EffectController, SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';
import { beatShape, outlineShape } from './outline-shape.js';

const COLUMNS = 600;

/** A recording on its way in while no song is open: its outline as it is decoded, beats as they are found, the step, a way to stop, and to listen. */
@customElement('bw-loading-view')
export class LoadingView extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        max-width: 60rem;
        margin: 12vh auto 0;
      }
      .stage {
        position: relative;
        overflow: hidden;
        border-top: var(--rule-width) solid var(--rule);
        border-bottom: var(--rule-width) solid var(--rule);
        margin-bottom: var(--space-3);
      }
      svg {
        display: block;
        width: 100%;
        height: 9rem;
      }
      .outline {
        fill: var(--wave);
      }
      .beats {
        fill: none;
        stroke: var(--ink);
        stroke-width: 1px;
        vector-effect: non-scaling-stroke;
      }
      .head {
        position: absolute;
        inset: 0;
        border-left: 2px solid var(--play);
        will-change: transform;
      }
      .listen {
        margin-top: var(--space-3);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @query('.outline') private path!: SVGPathElement;
  @query('.beats') private beats!: SVGPathElement;
  @query('.head') private head!: HTMLElement;
  private drawn: Peaks | undefined;
  private marked: FoundBeats | undefined;

  constructor() {
    super();
    new EffectController(this, () => {
      const task = this.session.task.value;
      if (!task?.outline || task.outline === this.drawn) return;
      this.drawn = task.outline;
      this.path.setAttribute('d', outlineShape(task.outline, task.duration, COLUMNS, 100));
    });
    new EffectController(this, () => {
      const task = this.session.task.value;
      if (!task?.found || !task.duration || task.found === this.marked) return;
      this.marked = task.found;
      this.beats.setAttribute('d', beatShape(task.found, task.duration, COLUMNS, 100));
    });
    new PlayClock(this, (at, playing) => {
      const duration = this.session.task.peek()?.duration;
      this.head.hidden = !playing || !duration;
      if (duration) this.head.style.transform = `translateX(${((100 * at) / duration).toFixed(2)}%)`;
    });
  }

  override render(): unknown {
    const { session } = this;
    const playing = session.playing.value;
    // The length is known once all is decoded: from then on there is something to hear.
    const decoded = session.task.value?.duration !== undefined;
    return html`<div class="stage">
        <svg viewBox="0 0 ${COLUMNS} 100" preserveAspectRatio="none" aria-hidden="true">
          <path class="outline" d=""></path>
          <path class="beats" d=""></path>
        </svg>
        <div class="head" hidden></div>
      </div>
      <bw-task-bar .session=${session}></bw-task-bar>
      ${
        decoded
          ? html`<button class="main listen" @click=${() => (playing ? session.stop() : void session.play(0))}>
              ${playing ? msg('Stop') : msg('Listen meanwhile')}
            </button>`
          : nothing
      }`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-loading-view': LoadingView;
  }
}
