import { msg } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { Session } from '../../kit/session.js';
import { commandOf, keyOf } from '../../kit/command-button.js';
import { focused } from '../../kit/focus.js';
import { SignalElement } from '../../kit/signal-element.js';
import { isMac, keyText } from '../../kit/key-text.js';
import { base, controls } from '../../kit/styles/shared.js';
import { HELP, helpPieces, type HelpPart, type HelpPicture } from './help-text.js';

/** The help, one page: beside the song where there is room, so that what it says can be tried; Escape puts it away. */
@customElement('bw-help-page')
export class HelpPage extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        position: fixed;
        z-index: 14;
        top: 0;
        right: 0;
        bottom: 0;
        width: min(44rem, 100%);
        overflow: auto;
        background: var(--paper-raised);
        border-left: var(--rule-width) solid var(--rule-strong);
        padding: 0 var(--space-5) var(--space-6);
      }
      header {
        display: flex;
        align-items: baseline;
        justify-content: space-between;
        position: sticky;
        top: 0;
        padding: var(--space-3) 0 var(--space-2);
        background: var(--paper-raised);
      }
      h2 {
        font-family: var(--music);
        font-size: var(--text-title);
        font-weight: 600;
        margin: 0;
      }
      h3 {
        font-family: var(--music);
        font-size: var(--text-large);
        font-weight: 600;
        margin: var(--space-5) 0 var(--space-1);
      }
      p {
        margin: 0 0 var(--space-2);
        max-width: 62ch;
        line-height: 1.5;
      }
      b {
        font-weight: 600;
      }
      img {
        display: block;
        max-width: 100%;
        height: auto;
        margin: var(--space-3) 0;
        border: var(--rule-width) solid var(--rule);
      }
      @media (max-width: 720px) {
        :host {
          padding: 0 var(--space-4) var(--space-6);
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @query('header button') private close!: HTMLButtonElement;
  private cameFrom: HTMLElement | undefined;

  override connectedCallback(): void {
    super.connectedCallback();
    this.cameFrom = focused();
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback();
    this.cameFrom?.focus();
  }

  protected override firstUpdated(): void {
    this.close.focus();
  }

  override render(): unknown {
    return html`<section aria-labelledby="title">
      <header>
        <h2 id="title">${msg('Help')}</h2>
        <button @click=${() => (this.session.view.helpPage.value = false)}>
          ${msg('Close')} <kbd>${keyText({ key: 'Escape' }, isMac())}</kbd>
        </button>
      </header>
      ${HELP.map((part) => this.renderPart(part))}
    </section>`;
  }

  private renderPart({ title, paragraphs, picture }: HelpPart): unknown {
    return html`<h3>${title}</h3>
      ${paragraphs.map(
        (text) =>
          html`<p>
            ${helpPieces(text).map((piece) => ('text' in piece ? piece.text : this.renderCommand(piece.command)))}
          </p>`,
      )}
      ${picture ? renderPicture(picture) : nothing}`;
  }

  private renderCommand(id: string): unknown {
    const label = commandOf(this.session, id)?.label.replace(/…$/, '');
    const key = keyOf(this.session, id);
    return html`<b>${label}</b>${key ? html` <kbd>${key}</kbd>` : nothing}`;
  }
}

function renderPicture({ name, alt }: HelpPicture): unknown {
  return html`<img src=${new URL(`./pictures/${name}.webp`, import.meta.url).href} alt=${alt} loading="lazy" />`;
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-help-page': HelpPage;
  }
}
