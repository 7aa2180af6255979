import { html } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { HandsFree, Session } from '../../state/session.js';
import { HANDS_FREE } from '../../state/settings.js';
import { SignalElement } from '../controllers/signal-element.js';
import { numberOf, set, valueOf } from '../fields.js';
import { panel } from '../styles/panels.js';
import { base, controls } from '../styles/shared.js';

const WORDS: Readonly<Record<HandsFree, string>> = {
  again: 'again',
  'go on': 'go on',
  play: 'play, stop',
  'bar back': 'a bar back',
  'bar on': 'a bar on',
  nothing: 'nothing',
};

/** What pedals and media keys do, and when a rest is called to mind. */
@customElement('bw-hands-panel')
export class HandsPanel extends SignalElement {
  static override styles = [base, controls, panel];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    const { restAfter } = this.session.settings.value;
    return html`<h2>Hands free</h2>
      ${this.renderPedal('Page Up', 'pedalBack')} ${this.renderPedal('Page Down', 'pedalOn')}
      <p>Pedals that turn pages send these keys; the media keys "previous" and "next" do the same.</p>
      <h2>Rest</h2>
      <label class="wide"
        >remind me
        <select @change=${(event: Event) => set(this.session, { restAfter: numberOf(event) })}>
          ${[0, 20, 30, 45, 60].map(
            (minutes) =>
              html`<option value=${minutes} ?selected=${restAfter === minutes}>
                ${minutes === 0 ? 'never' : `after ${minutes} minutes`}
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
