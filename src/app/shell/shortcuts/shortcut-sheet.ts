import { msg, str } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { Session } from '../../kit/session.js';
import { focused } from '../../kit/focus.js';
import { SignalElement } from '../../kit/signal-element.js';
import { base, controls } from '../../kit/styles/shared.js';
import { keyTable } from './command-groups.js';
import { isMac, keyText } from '../../kit/key-text.js';
import { keyWithin } from '../../kit/key-within.js';

/** Takes the focus from one part of the page to the next, see KeyboardController. */
const NEXT_PART = 'F6';

/** The table of keys: beside the page, not over its work; F1 or Escape puts it away. */
@customElement('bw-shortcut-sheet')
export class ShortcutSheet extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        position: fixed;
        z-index: 15;
        top: 0;
        right: 0;
        bottom: 0;
        width: min(46rem, 100%);
        overflow: auto;
        background: var(--paper-raised);
        border-left: var(--rule-width) solid var(--rule-strong);
        padding: var(--space-4) var(--space-5) var(--space-6);
      }
      header {
        display: flex;
        align-items: baseline;
        justify-content: space-between;
        position: sticky;
        top: 0;
      }
      h2 {
        font-family: var(--music);
        font-size: var(--text-title);
        font-weight: 600;
        margin: 0 0 var(--space-3);
      }
      .groups {
        columns: 20rem 2;
        column-gap: var(--space-6);
      }
      section {
        break-inside: avoid;
        margin-bottom: var(--space-4);
      }
      h3 {
        font-size: var(--text-small);
        font-weight: 600;
        margin: 0;
        padding-bottom: var(--space-1);
        border-bottom: var(--rule-width) solid var(--rule-strong);
      }
      dl {
        margin: 0;
        display: grid;
        grid-template-columns: 1fr auto;
        font-size: var(--text-small);
      }
      dt,
      dd {
        margin: 0;
        padding: 0.2rem 0;
        border-bottom: var(--rule-width) solid var(--rule);
      }
      dd {
        text-align: right;
        padding-left: var(--space-3);
      }
      p {
        font-size: var(--text-small);
        max-width: 60ch;
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @query('button') private close!: HTMLButtonElement;

  /** What had the focus, and gets it back. */
  private left: HTMLElement | undefined;

  protected override firstUpdated(): void {
    this.left = focused();
    this.close.focus();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.left?.focus();
  }

  override render(): unknown {
    const mac = isMac();
    return html`<header>
        <h2 id="title">${msg('Keys')}</h2>
        <button @click=${() => (this.session.view.help.value = false)}>
          ${msg('Close')} <kbd>${keyText({ key: 'Escape' }, mac)}</kbd>
        </button>
      </header>
      <p class="soft">
        ${keyWithin((key) => msg(str`Hear a bar, press its number of beats. Map keys act while the map or the recording has the focus, those for speed and loops also in Play; ${key} goes from one part of the page to the next.`), NEXT_PART)}
      </p>
      <div class="groups">
        ${keyTable(this.session.commands, mac).map(
          ({ name, lines }) =>
            html`<section>
              <h3>${name}</h3>
              <dl>
                ${lines.map(({ label, keys, to }) => {
                  const word = msg('to', { id: 'keys-to', desc: 'Between the first and the last key of a row' });
                  const between = to ? html`<span> ${word} </span>` : nothing;
                  return html`<dt>${label}</dt>
                    <dd>${keys.map((key, i) => html`${i > 0 ? between : nothing}<kbd>${key}</kbd> `)}</dd>`;
                })}
              </dl>
            </section>`,
        )}
      </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-shortcut-sheet': ShortcutSheet;
  }
}
