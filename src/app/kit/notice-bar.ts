import { msg } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Notice, Session } from './session.js';
import { ResizeController, TimerController } from './owners.js';
import { EffectController, SignalElement } from './signal-element.js';
import { base, controls } from './styles/shared.js';

/** Milliseconds a piece of news without a way out stays: time to read it, plus some for each letter. */
const STAYS = 4000;
const PER_LETTER = 60;

/** What was last said: news goes by itself, a problem or an offer stays until it is answered. */
@customElement('bw-notice-bar')
export class NoticeBar extends SignalElement {
  static override styles = [
    base,
    controls,
    css`
      :host {
        position: fixed;
        z-index: 12;
        left: 50%;
        translate: -50% 0;
        bottom: calc(var(--foot, 0px) + var(--space-3));
        width: max-content;
        max-width: min(44rem, calc(100vw - 2 * var(--space-3)));
      }
      .notice {
        display: flex;
        align-items: center;
        gap: var(--space-3);
        padding: var(--space-2) var(--space-3);
        background: var(--paper-raised);
        border: var(--rule-width) solid var(--rule-strong);
        border-left: 4px solid var(--ink);
        border-radius: var(--radius);
        box-shadow: 0 2px 14px rgb(0 0 0 / 12%);
      }
      .notice[data-kind='error'] {
        border-left-color: var(--caution);
        background: var(--caution-wash);
      }
      p {
        margin: 0;
        white-space: pre-line;
      }
      .action {
        flex: none;
        font-weight: 600;
        background: var(--paper-raised);
      }
      /* On a wide page there is room beside the transport. It grows upwards, and the panel above it makes room. */
      @media (min-width: 1200px) {
        :host {
          left: auto;
          right: var(--space-3);
          translate: none;
          bottom: var(--space-2);
          max-width: 20.5rem;
        }
        .notice:has(.action) {
          flex-wrap: wrap;
        }
        .notice:has(.action) p {
          flex-basis: 100%;
        }
        .notice {
          gap: var(--space-1) var(--space-2);
          padding: var(--space-1) var(--space-2);
          font-size: var(--text-small);
        }
      }
      /* On a narrow or low page it pushes the rest down: every place there has something to press. */
      @media (max-width: 720px), (max-height: 500px) {
        :host {
          position: static;
          order: -1;
          translate: none;
          width: auto;
          max-width: none;
        }
        .notice {
          border-radius: 0;
          box-shadow: none;
        }
        .notice:has(.action) {
          flex-wrap: wrap;
        }
        .notice:has(.action) p {
          flex: 1 1 100%;
        }
      }
      @media (min-width: 721px) and (max-height: 500px) {
        .notice:has(.action) {
          flex-wrap: nowrap;
        }
        .notice:has(.action) p {
          flex: 0 1 auto;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  private readonly timer = new TimerController(this);
  private said: Notice | undefined;

  constructor() {
    super();
    new EffectController(this, () => this.schedule(this.session.notice.value));
    // What lies under it makes room.
    new ResizeController(
      this,
      () => this,
      () => document.documentElement.style.setProperty('--notice', `${this.offsetHeight}px`),
    );
  }

  override render(): unknown {
    const notice = this.session.notice.value;
    return html`<div role=${notice?.kind === 'error' ? 'alert' : 'status'}>
      ${
        notice
          ? html`<div class="notice" data-kind=${notice.kind} @pointerenter=${() => this.timer.cancel()}>
              <p>${notice.text}</p>
              ${
                notice.action
                  ? html`<button class="action" @click=${() => this.act(notice, notice.action)}>
                      ${notice.action.label}
                    </button>`
                  : nothing
              }
              ${
                notice.other
                  ? html`<button class="action" @click=${() => this.act(notice, notice.other)}>
                      ${notice.other.label}
                    </button>`
                  : nothing
              }
              <button
                class="plain"
                aria-label=${msg('Close this message')}
                title=${msg('Close')}
                @click=${() => this.session.dismissNotice()}
              >
                ✕
              </button>
            </div>`
          : nothing
      }
    </div>`;
  }

  private schedule(notice: Notice | undefined): void {
    this.timer.cancel();
    this.said = notice;
    if (!notice || notice.kind === 'error' || notice.action) return;
    this.timer.after(STAYS + PER_LETTER * notice.text.length, () => {
      if (this.said === notice) this.session.dismissNotice();
    });
  }

  private act(notice: Notice, way: Notice['action']): void {
    if (this.session.notice.peek() === notice) this.session.dismissNotice();
    void way?.run();
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-notice-bar': NoticeBar;
  }
}
