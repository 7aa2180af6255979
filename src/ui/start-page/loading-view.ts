import '../task-bar/task-bar.js';
import { css, html } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { Session } from '../../state/session.js';
import { EffectController, SignalElement } from '../controllers/signal-element.js';
import { outlineShape } from './outline-shape.js';
import { base } from '../styles/shared.js';

/** A first recording on its way in: its outline as it is decoded, the step, how far, a way to stop. */
@customElement('bw-loading-view')
export class LoadingView extends SignalElement {
  static override styles = [
    base,
    css`
      :host {
        max-width: 60rem;
        margin: 12vh auto 0;
      }
      svg {
        display: block;
        width: 100%;
        height: 9rem;
        border-top: var(--rule-width) solid var(--rule);
        border-bottom: var(--rule-width) solid var(--rule);
        margin-bottom: var(--space-3);
      }
      path {
        fill: var(--wave);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @query('path') private path!: SVGPathElement;

  constructor() {
    super();
    new EffectController(this, () => {
      const task = this.session.task.value;
      if (task?.outline) this.path.setAttribute('d', outlineShape(task.outline, task.duration, 600, 100));
    });
  }

  override render(): unknown {
    return html`<svg viewBox="0 0 600 100" preserveAspectRatio="none" aria-hidden="true"><path d=""></path></svg>
      <bw-task-bar .session=${this.session}></bw-task-bar>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-loading-view': LoadingView;
  }
}
