import { msg } from '@lit/localize';
import { html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Session, Settings } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { bounded, check, checkRow, numberField, numberOf, partsOfBeat, set } from '../kit/fields.js';
import { panel } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';

/** What is counted in, and how the click goes. */
@customElement('bw-click-panel')
export class ClickPanel extends SignalElement {
  static override styles = [base, controls, panel];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const settings = this.session.settings.value;
    return html`${this.renderCount(settings)} ${this.renderClick(settings)}`;
  }

  private renderCount(settings: Settings): unknown {
    const { session } = this;
    const { countInBars, countInBeats } = settings;
    return html`<h2>${msg('Count-in')}</h2>
      <div class="row" role="group" aria-label=${msg('Counted in')}>
        ${([0, 1, 2] as const).map(
          (bars) =>
            html`<button
              aria-pressed=${countInBeats === 0 && countInBars === bars}
              @click=${() => set(session, { countInBars: bars, countInBeats: 0 })}
            >
              ${bars === 0 ? msg('none') : bars === 1 ? msg('1 bar') : msg('2 bars')}
            </button>`,
        )}
        <label
          >${msg('or')}
          <input
            type="number"
            min="0"
            max="16"
            aria-label=${msg('Beats counted in')}
            .value=${countInBeats === 0 ? '' : String(countInBeats)}
            @change=${(event: Event) => set(session, { countInBeats: bounded(numberOf(event), 0, 16) })}
          />
          ${msg('beats')}</label
        >
      </div>
      ${checkRow(session, msg('Spoken numbers instead of ticks'), 'spokenCount')}`;
  }

  private renderClick(settings: Settings): unknown {
    const { session } = this;
    const drop = settings.clickDropOut;
    return html`<h2>${msg('Click')}</h2>
      ${partsOfBeat('click', settings.clickParts, (clickParts) => set(session, { clickParts }))}
      ${checkRow(session, msg('In the first bar only'), 'clickFirstBarOnly')}
      ${check(msg('Leaves bars out, to test your time'), drop !== undefined, (on) =>
        set(session, { clickDropOut: on ? { sound: 2, of: 4 } : undefined }),
      )}
      ${
        drop
          ? html`<div class="row">
              ${numberField(msg('sounds in'), drop.sound, [1, drop.of - 1], (sound) => this.setDrop(sound, drop.of))}
              ${numberField(msg('of every'), drop.of, [2, 64], (of) => this.setDrop(drop.sound, of), msg('bars'))}
            </div>`
          : nothing
      }`;
  }

  private setDrop(sound: number, of: number): void {
    set(this.session, { clickDropOut: { sound: Math.min(sound, of - 1), of } });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-click-panel': ClickPanel;
  }
}
