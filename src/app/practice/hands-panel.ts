import { msg, str } from '@lit/localize';
import { html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { HandsFree, Session } from '../kit/session.js';
import { HANDS_FREE } from '../kit/settings.js';
import { SignalElement } from '../kit/signal-element.js';
import { numberOf, set, valueOf } from '../kit/fields.js';
import { panel } from '../kit/styles/panels.js';
import { base, controls } from '../kit/styles/shared.js';

const WORDS: Readonly<Record<HandsFree, string>> = {
  again: msg('again'),
  'go on': msg('go on'),
  play: msg('play, stop'),
  'bar back': msg('a bar back'),
  'bar on': msg('a bar on'),
  nothing: msg('nothing'),
};

/** What pedals and media keys do, and when a rest is called to mind. */
@customElement('bw-hands-panel')
export class HandsPanel extends SignalElement {
  static override styles = [base, controls, panel];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { restAfter } = this.session.settings.value;
    return html`<h2>${msg('Hands free')}</h2>
      ${this.renderPedal(msg('Page Up'), 'pedalBack')} ${this.renderPedal(msg('Page Down'), 'pedalOn')}
      <p>${msg('Pedals that turn pages send these keys; the media keys "previous" and "next" do the same.')}</p>
      <h2>${msg('Rest')}</h2>
      <label class="wide"
        >${msg('remind me')}
        <select @change=${(event: Event) => set(this.session, { restAfter: numberOf(event) })}>
          ${[0, 20, 30, 45, 60].map(
            (minutes) =>
              html`<option value=${minutes} ?selected=${restAfter === minutes}>
                ${minutes === 0 ? msg('never') : msg(str`after ${minutes} minutes`)}
              </option>`,
          )}
        </select></label
      >`;
  }

  private renderPedal(label: string, key: 'pedalBack' | 'pedalOn'): unknown {
    const now = this.session.settings.value[key];
    return html`<label class="wide"
      >${label}:
      <select @change=${(event: Event) => set(this.session, { [key]: valueOf(event) })}>
        ${HANDS_FREE.map((what) => html`<option value=${what} ?selected=${what === now}>${WORDS[what]}</option>`)}
      </select></label
    >`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-hands-panel': HandsPanel;
  }
}
