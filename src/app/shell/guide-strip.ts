import { msg } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property, state } from 'lit/decorators.js';
import { GUIDE_STEPS, type GuideStep } from '../kit/guide.js';
import type { Session } from '../kit/session.js';
import { commandButton } from '../kit/command-button.js';
import { SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';
import { GUIDE_TEXTS, GUIDE_END } from './guide-text.js';

/** The next step through the first song: one sentence and the button that does it. Nothing waits for it. */
@customElement('bw-guide-strip')
export class GuideStrip extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        border-top: var(--rule-width) solid var(--rule);
        background: var(--paper-sunk);
        padding: var(--space-1) var(--space-4);
      }
      section {
        display: flex;
        flex-wrap: wrap;
        align-items: center;
        gap: var(--space-1) var(--space-3);
        font-size: var(--text-small);
      }
      p {
        margin: 0;
        flex: 1 1 24rem;
      }
      .steps {
        display: flex;
        gap: var(--space-3);
        margin: 0;
        padding: 0;
        list-style: none;
      }
      .now {
        font-weight: 600;
        text-decoration: underline;
        text-underline-offset: 0.25em;
      }
      .acts {
        display: flex;
        align-items: center;
        gap: var(--space-2);
      }
      .acts [data-command] {
        background: var(--paper-raised);
        font-weight: 600;
      }
      @media (max-width: 720px) {
        :host {
          padding: var(--space-1) var(--space-3);
        }
        p {
          flex-basis: 100%;
        }
        .steps {
          display: none;
        }
        .acts {
          flex: 1;
        }
        .close {
          margin-left: auto;
        }
        /* One offer at a time, where there is room for one. */
        :host([data-waits]) {
          border: 0;
          padding: 0;
        }
        :host([data-waits]) section {
          display: none;
        }
      }
      /* A low page has room for the bars only. Its place in the page's rows stays, empty. */
      @media (max-height: 500px) {
        :host {
          border: 0;
          padding: 0;
        }
        section {
          display: none;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  /** Steps put off, so that the next one is shown. */
  @state() private later = 0;

  override render(): unknown {
    const guide = this.session.guide.value;
    this.toggleAttribute('data-waits', this.session.notice.value?.action !== undefined);
    if (!guide) return nothing;
    const { done, left } = guide;
    const step = left[this.later % left.length];
    const text = step ? GUIDE_TEXTS[step] : GUIDE_END;
    return html`<section aria-label=${msg('The way through your first song')}>
      <ol class="steps">
        ${GUIDE_STEPS.map((each) => this.renderStep(each, done.includes(each), each === step))}
      </ol>
      <p role="status">${text.say}</p>
      <div class="acts">
        ${commandButton(this.session, text.command, text.label)}
        ${left.length > 1 ? html`<button class="plain" @click=${() => (this.later += 1)}>${msg('Another step')}</button>` : nothing}
        <button
          class="plain close"
          title=${msg('Close: it does not come back')}
          @click=${() => this.session.closeGuide()}
        >
          ${step ? msg('Close the guide') : msg('Close')}
        </button>
      </div>
    </section>`;
  }

  private renderStep(step: GuideStep, done: boolean, now: boolean): unknown {
    const { name } = GUIDE_TEXTS[step];
    return html`<li class=${now ? 'now' : done ? 'soft' : ''} aria-current=${now ? 'step' : nothing}>
      ${done ? html`<span aria-hidden="true">✓ </span>` : nothing}${name}${
        done ? html`<span class="hidden-text">${msg(', done')}</span>` : nothing
      }
    </li>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-guide-strip': GuideStrip;
  }
}
