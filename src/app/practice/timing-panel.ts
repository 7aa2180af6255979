import { msg, str } from '@lit/localize';
import { css, html, nothing, svg } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { barName } from '../../model/map-queries.js';
import { barsStretch } from '../../model/play-order.js';
import type { SongMap } from '../../model/song-map.js';
import type { BarTiming, TimingReport } from '../../model/timing.js';
import { setLoop } from './practice-commands.js';
import type { Session } from '../kit/session.js';
import { MAX_DELAY } from '../kit/settings.js';
import type { TimingCheck } from '../kit/timing.js';
import { SignalElement } from '../kit/signal-element.js';
import { numberField, partsOfBeat, set } from '../kit/fields.js';
import { panel, sidePanel } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';
import { latenessText, offText, timingSentences } from './timing-words.js';

/** Milliseconds each side of the beat that a bar's line shows. */
const SHOWN = 120;
const DELAYS = [-MAX_DELAY, MAX_DELAY] as const;

/** How far strokes are from the beat, bar by bar; and the delay of sound and microphone, measured. */
@customElement('bw-timing-panel')
export class TimingPanel extends SignalElement {
  static override styles = [
    base,
    controls,
    panel,
    sidePanel,
    css`
      .tap {
        width: 100%;
        min-height: 5rem;
        font-size: var(--text-large);
        touch-action: none;
        user-select: none;
      }
      .bars {
        list-style: none;
        margin: 0 0 var(--space-2);
        padding: 0;
      }
      .bars li {
        display: grid;
        grid-template-columns: 3.6rem minmax(0, 1fr) auto;
        align-items: center;
        gap: var(--space-2);
        border-top: var(--rule-width) solid var(--rule);
      }
      .bars svg {
        width: 100%;
        height: 1.5rem;
        overflow: visible;
      }
      .bars circle {
        fill: var(--ink);
        fill-opacity: 0.55;
      }
      .bars line {
        stroke: var(--rule-strong);
      }
      .said {
        color: var(--ink);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @state() private parts: 1 | 2 | 3 | 4 = 1;

  override render(): unknown {
    const { session } = this;
    const map = session.map.value;
    if (!map) return nothing;
    const check = session.timing.check.value;
    return html`<h2>${msg('Timing')}</h2>
      ${check?.running && check.of === 'song' ? this.renderRunning(check) : this.renderStart(map, check)}
      <h2>${msg('Delay')}</h2>
      ${check?.running && check.of === 'delay' ? this.renderRunning(check) : this.renderDelay(check)}`;
  }

  private renderStart(map: SongMap, check: TimingCheck | undefined): unknown {
    const { timing } = this.session;
    const busy = check?.running === true;
    const done = check?.of === 'song' && !check.running ? check : undefined;
    return html`<p>
        ${msg('Play along, and see how far each stroke was from the beat. The loop, the speed and the count-in hold here too.')}
      </p>
      ${partsOfBeat('stroke', this.parts, (parts) => (this.parts = parts))}
      <div class="row">
        <button class="main" ?disabled=${busy} @click=${() => void timing.checkSong('taps', this.parts)}>
          ${msg('Check my taps')}
        </button>
        <button ?disabled=${busy} @click=${() => void timing.checkSong('microphone', this.parts)}>
          ${msg('Check my playing')}
        </button>
      </div>
      <p>
        ${msg('To have your playing checked, wear headphones, or the microphone hears the click. It is asked for first; nothing it hears is kept.')}
      </p>
      ${done ? this.renderReport(map, done) : nothing}`;
  }

  private renderReport(map: SongMap, { report, strokes }: TimingCheck): unknown {
    if (!report) {
      const none = strokes.length === 0 ? msg('No stroke was heard.') : msg('No stroke fell near a beat.');
      return html`<p class="said" role="status">${none}</p>`;
    }
    return html`<div role="status">
        ${timingSentences(map, report).map((line) => html`<p class="said">${line}</p>`)}
      </div>
      ${this.renderBars(map, report)}`;
  }

  private renderBars(map: SongMap, { bars }: TimingReport): unknown {
    return html`<ul class="bars" aria-label=${msg('Bar by bar')}>
      ${bars.map(
        (bar) =>
          html`<li>
            <span>${barName(map, bar.bar)}</span>${strokesOf(bar)}
            <button
              aria-label=${msg(str`Loop ${barName(map, bar.bar)}, ${offText(bar.mean)}`)}
              title=${offText(bar.mean)}
              @click=${() => setLoop(this.session, barsStretch(map, Math.max(0, bar.bar - 1), bar.bar))}
            >
              ${msg('Loop')}
            </button>
          </li>`,
      )}
    </ul>`;
  }

  private renderRunning({ source, strokes, of }: TimingCheck): unknown {
    const count = strokes.length;
    return html`${
        source === 'taps'
          ? html`<button class="tap" @pointerdown=${this.tapped} @keydown=${this.keyed}>
              <span role="status" aria-live="off">${msg(str`Tap here, or any key: ${count}`)}</span>
            </button>`
          : html`<p class="said" role="status" aria-live="off">${msg(str`Listening: ${count} heard.`)}</p>`
      }
      <div class="row">
        <button @click=${() => this.session.stop()}>${of === 'delay' ? msg('Enough') : msg('Stop and show')}</button>
      </div>`;
  }

  private renderDelay(check: TimingCheck | undefined): unknown {
    const { session } = this;
    const { timing } = session;
    const busy = check?.running === true;
    const done = check?.of === 'delay' && !check.running ? check : undefined;
    const { soundDelay, microphoneDelay } = session.settings.value;
    return html`<p>
        ${msg('What is seen should be what is heard. Wireless headphones are late by more than the browser knows: tap to a click for half a minute, and the display and your taps are put right.')}
      </p>
      <div class="row">
        <button ?disabled=${busy} @click=${() => void timing.measureDelay('taps')}>${msg('Tap to a click')}</button>
        <button ?disabled=${busy} @click=${() => void timing.measureDelay('microphone')}>
          ${msg('Play to a click')}
        </button>
      </div>
      ${done ? this.renderLateness(done) : nothing}
      <div class="row">
        ${numberField(msg('sound late by'), soundDelay, DELAYS, (ms) => set(session, { soundDelay: ms }), msg('ms'))}
        ${numberField(msg('microphone late by'), microphoneDelay, DELAYS, (ms) => set(session, { microphoneDelay: ms }), msg('ms'))}
      </div>`;
  }

  private renderLateness({ lateness, source }: TimingCheck): unknown {
    if (!lateness)
      return html`<p class="said" role="status">
        ${
          source === 'taps'
            ? msg('Too few came steadily to tell. Let the first few clicks go by, then tap each one.')
            : msg('Too few came steadily to tell. Let the first few clicks go by, then play each one.')
        }
      </p>`;
    return html`<p class="said" role="status">${latenessText(lateness)}</p>
      <div class="row">
        <button class="main" @click=${() => this.session.timing.useDelay()}>${msg('Take this off')}</button>
        <button @click=${() => this.session.timing.forget()}>${msg('Leave it')}</button>
      </div>`;
  }

  protected override updated(): void {
    // Keys count from the start, without a click on the button first.
    const button = this.renderRoot.querySelector<HTMLElement>('.tap');
    if (button && !button.matches(':focus')) button.focus();
  }

  private readonly tapped = (event: PointerEvent): void => {
    event.preventDefault();
    this.stroke(event);
    (event.currentTarget as HTMLElement).focus();
  };

  private readonly keyed = (event: KeyboardEvent): void => {
    if (event.repeat || ['Tab', 'Escape', 'Shift', 'Control', 'Alt', 'Meta', 'PageUp', 'PageDown'].includes(event.key))
      return;
    event.preventDefault();
    event.stopPropagation();
    this.stroke(event);
  };

  /** A busy page hands events on late: when they happened counts. */
  private stroke(event: Event): void {
    this.session.timing.stroke(Math.max(0, performance.now() - event.timeStamp));
  }
}

/** The strokes of a bar as dots about the beat: early to the left, late to the right. */
function strokesOf(bar: BarTiming): unknown {
  const x = (off: number): number => Math.min(SHOWN, Math.max(-SHOWN, off * 1000));
  return html`<svg
    viewBox="${-SHOWN} -10 ${2 * SHOWN} 20"
    preserveAspectRatio="none"
    role="img"
    aria-label=${offText(bar.mean)}
  >
    ${svg`<line x1="0" x2="0" y1="-10" y2="10"></line>`}
    ${bar.strokes.map(({ off }) => svg`<circle cx=${x(off)} cy="0" r="4"></circle>`)}
  </svg>`;
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-timing-panel': TimingPanel;
  }
}
