import './close-up.js';
import './overview.js';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { Session } from '../../kit/session.js';
import { SignalElement } from '../../kit/signal-element.js';
import { base } from '../../kit/styles/shared.js';

/** The recording: the whole song thin, a part of it close up. On a narrow page the close-up comes first. */
@customElement('bw-recording-view')
export class RecordingView extends SignalElement {
  static override styles = [
    base,
    css`
      :host {
        display: flex;
        flex-direction: column;
        gap: var(--space-2);
        padding-bottom: var(--space-2);
      }
      bw-overview {
        margin: 0 var(--space-4);
      }
      @media (max-width: 720px) {
        bw-overview {
          order: 2;
          margin: 0 var(--space-3);
        }
        :host {
          gap: var(--space-1);
          padding-bottom: 0;
        }
      }
      /* A phone on its side: the map needs the height. */
      @media (max-height: 500px) {
        bw-close-up {
          display: none;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;

  override render(): unknown {
    // Who plays from the screen needs the room for the bars, who sees to the chart for the page.
    const workspace = this.session.view.workspace.value;
    const close = workspace !== 'play' && workspace !== 'chart';
    return html`<bw-overview .session=${this.session}></bw-overview>
      ${close ? html`<bw-close-up .session=${this.session}></bw-close-up>` : nothing}`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-recording-view': RecordingView;
  }
}
