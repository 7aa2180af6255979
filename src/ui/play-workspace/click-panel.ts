import { html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Session, Settings } from '../../state/session.js';
import { SignalElement } from '../controllers/signal-element.js';
import { panel } from '../styles/panels.js';
import { base, controls } from '../styles/shared.js';
import { bounded, checkRow, isChecked, numberOf, set } from './panel-parts.js';

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
    return html`<h2>Count-in</h2>
      <div class="row" role="group" aria-label="Counted in">
        ${([0, 1, 2] as const).map(
          (bars) =>
            html`<button
              aria-pressed=${countInBeats === 0 && countInBars === bars}
              @click=${() => set(session, { countInBars: bars, countInBeats: 0 })}
            >
              ${bars === 0 ? 'none' : bars === 1 ? '1 bar' : '2 bars'}
            </button>`,
        )}
        <label
          >or
          <input
            type="number"
            min="0"
            max="16"
            aria-label="Beats counted in"
            .value=${countInBeats === 0 ? '' : String(countInBeats)}
            @change=${(event: Event) => set(session, { countInBeats: bounded(numberOf(event), 0, 16) })}
          />
          beats</label
        >
      </div>
      ${checkRow(session, 'Spoken numbers instead of ticks', 'spokenCount')}`;
  }

  private renderClick(settings: Settings): unknown {
    const { session } = this;
    const drop = settings.clickDropOut;
    return html`<h2>Click</h2>
      <div class="row" role="group" aria-label="Clicks a beat">
        ${([1, 2, 3, 4] as const).map(
          (parts) =>
            html`<button
              aria-pressed=${settings.clickParts === parts}
              aria-label=${parts === 1 ? '1 click a beat' : `${parts} clicks a beat`}
              @click=${() => set(session, { clickParts: parts })}
            >
              ${parts}
            </button>`,
        )}
        <span class="soft">a beat</span>
      </div>
      ${checkRow(session, 'In the first bar only', 'clickFirstBarOnly')}
      <label class="wide"
        ><input
          type="checkbox"
          .checked=${drop !== undefined}
          @change=${(event: Event) =>
            set(session, { clickDropOut: isChecked(event) ? { sound: 2, of: 4 } : undefined })}
        />
        Leaves bars out, to test your time</label
      >
      ${
        drop
          ? html`<div class="row">
              <label
                >sounds in
                <input
                  type="number"
                  min="1"
                  max=${drop.of - 1}
                  .value=${String(drop.sound)}
                  @change=${(event: Event) => this.setDrop(numberOf(event), drop.of)}
              /></label>
              <label
                >of every
                <input
                  type="number"
                  min="2"
                  max="64"
                  .value=${String(drop.of)}
                  @change=${(event: Event) => this.setDrop(drop.sound, numberOf(event))}
                />
                bars</label
              >
            </div>`
          : nothing
      }`;
  }

  private setDrop(sound: number, of: number): void {
    const bars = bounded(of, 2, 64, 4);
    set(this.session, { clickDropOut: { sound: bounded(sound, 1, bars - 1, 1), of: bars } });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-click-panel': ClickPanel;
  }
}
