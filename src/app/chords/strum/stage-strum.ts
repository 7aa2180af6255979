import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { barOf } from '../../../model/map-queries.js';
import { strokesInBar, type HeardStroke } from '../../../model/strum-sounds.js';
import type { BarIndex, Seconds } from '../../../music/units.js';
import type { Session } from '../../kit/session.js';
import { PlayClock } from '../../kit/play-clock.js';
import { SignalElement } from '../../kit/signal-element.js';
import { base } from '../../kit/styles/shared.js';
import { strokeMark, strumMarkStyles } from '../../kit/strum-mark.js';

/** The strokes of a bar under its beats, the one that sounds lit; draws nothing where no pattern is set. */
@customElement('bw-stage-strum')
export class StageStrum extends SignalElement {
  static override styles = [
    base,
    strumMarkStyles,
    css`
      .strokes {
        position: relative;
        height: clamp(1.1rem, 8cqmin, 3.5rem);
        margin-bottom: 1cqmin;
      }
      .stroke {
        position: absolute;
        left: calc(var(--at) * 100% + clamp(0.8rem, 6cqmin, 3rem) / 2);
        height: 100%;
        translate: -50% 0;
        color: var(--ink-soft);
      }
      .stroke .stroke-mark {
        height: 100%;
      }
      .stroke[data-on] {
        color: var(--play);
      }
      .stroke[data-on] .stroke-mark {
        stroke-width: 2.6;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @property({ attribute: false }) bar!: BarIndex;
  private strokes: readonly HeardStroke[] = [];
  private lit = -1;

  constructor() {
    super();
    new PlayClock(this, (at, playing) => this.light(at, playing));
  }

  override render(): unknown {
    const map = this.session.map.value;
    const bar = map && barOf(map, this.bar);
    this.strokes = map && bar ? strokesInBar(map, this.bar) : [];
    if (!bar || this.strokes.length === 0) return nothing;
    // As the dots above: a beat that is cut short has as much room as the others.
    return html`<div class="strokes" aria-hidden="true">
      ${this.strokes.map(
        ({ beat, stroke }) =>
          html`<span class="stroke" .style="--at:${beat / bar.beats.length}">${strokeMark(stroke)}</span>`,
      )}
    </div>`;
  }

  protected override updated(): void {
    this.lit = -1;
  }

  /** Each frame: the lit stroke is moved by hand. */
  private light(at: Seconds, playing: boolean): void {
    const sounds = playing && this.session.counting() === undefined;
    const now = sounds ? this.strokes.filter(({ time }) => time <= at + 1e-3).length - 1 : -1;
    if (now === this.lit) return;
    this.lit = now;
    this.renderRoot.querySelectorAll('.stroke').forEach((mark, i) => mark.toggleAttribute('data-on', i === now));
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-stage-strum': StageStrum;
  }
}
