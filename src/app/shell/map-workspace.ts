import { msg, str } from '@lit/localize';
import '../map/bar-inspector/bar-inspector.js';
import '../doubts/doubts-list.js';
import '../map/map-view/map-view.js';
import '../map/section-tools.js';
import { css, html, nothing, type PropertyValues } from 'lit';
import { customElement, property, query, state } from 'lit/decorators.js';
import type { Session } from '../kit/session.js';
import { targetOf } from '../map/bar-inspector/target.js';
import { MediaController } from '../kit/owners.js';
import type { MapView } from '../map/map-view/map-view.js';
import { SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';
import { workspace } from '../kit/styles/workspaces.js';

type Sheet = 'doubts' | 'bar' | 'section';

/**
 * The workspace "Map": the bar map with the section strip at its foot and, beside it, doubts and the bar panel. On a
 * phone those are sheets under the map, one at a time.
 */
@customElement('bw-map-workspace')
export class MapWorkspace extends SignalElement {
  static override styles = [
    base,
    controls,
    workspace,
    css`
      :host {
        border-top: 0;
      }
      .main {
        display: flex;
        flex-direction: column;
        min-width: 0;
        min-height: 0;
      }
      .map {
        flex: 1;
        min-height: 0;
        overflow: auto;
        padding: var(--space-2) var(--space-4) var(--space-5);
      }
      .side {
        display: grid;
        grid-template-rows: fit-content(46%) minmax(0, 1fr);
        min-height: 0;
        border-left: var(--rule-width) solid var(--rule);
      }
      .side > * {
        overflow: auto;
        min-height: 0;
        padding: var(--space-3) var(--space-4);
      }
      .side > * + * {
        border-top: var(--rule-width) solid var(--rule-strong);
      }
      .sheets {
        display: flex;
        border-top: var(--rule-width) solid var(--rule-strong);
      }
      .sheets button {
        flex: 1;
        min-width: 0;
        min-height: var(--target);
        border: 0;
        border-radius: 0;
        padding: 0 var(--space-2);
        font-size: var(--text-small);
        white-space: nowrap;
      }
      .sheets button + button {
        border-left: var(--rule-width) solid var(--rule);
      }
      .sheets button[aria-expanded='true'] {
        font-weight: 600;
        box-shadow: inset 0 2px 0 var(--ink);
      }
      .sheet {
        flex: none;
        max-height: 46%;
        overflow: auto;
        border-top: var(--rule-width) solid var(--rule);
        padding: var(--space-2) var(--space-3) var(--space-3);
      }
      /* There the notice stands in the corner, see notice-bar: nothing of the panel may lie under it. */
      @media (min-width: 1200px) {
        .side {
          margin-bottom: max(0px, calc(var(--notice, 0px) + 2 * var(--space-2) - var(--foot, 0px)));
        }
      }
      /* Too low for parts that scroll each by themselves. */
      @media (max-height: 500px) and (min-width: 721px) {
        .main,
        .side {
          display: block;
          overflow: auto;
        }
        .map,
        .side > * {
          overflow: visible;
        }
      }
      @media (max-width: 720px) {
        :host {
          grid-template-columns: minmax(0, 1fr);
        }
        .map {
          padding: var(--space-1) var(--space-3) var(--space-4);
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  /** The sheet that is open on a phone. */
  @state() private sheet: Sheet | undefined;

  @query('bw-map-view') private map!: MapView | null;

  private readonly narrow = new MediaController(this, '(max-width: 720px)');

  override render(): unknown {
    return this.narrow.matches ? this.renderNarrow() : this.renderWide();
  }

  protected override updated(changed: PropertyValues): void {
    super.updated(changed);
    // A sheet covers part of what the map showed.
    if (changed.has('sheet')) this.map?.showCursor();
  }

  private renderMap(): unknown {
    return html`<div class="map">
      <bw-map-view data-region="map" .session=${this.session}></bw-map-view>
    </div>`;
  }

  private renderWide(): unknown {
    const { session } = this;
    return html`<div class="main">
        ${this.renderMap()}
        <bw-section-tools data-region="sections" .session=${session}></bw-section-tools>
      </div>
      <div class="side">
        <bw-doubts data-region="doubts" .session=${session}></bw-doubts>
        <bw-bar-inspector data-region="bar" .session=${session}></bw-bar-inspector>
      </div>`;
  }

  private renderNarrow(): unknown {
    const { session } = this;
    const map = session.map.value;
    const left = session.doubtsLeft.value;
    const target = map && targetOf(map, session.view.cursor.value, session.view.selection.value);
    const sheets: readonly (readonly [Sheet, string])[] = [
      ['doubts', left > 0 ? msg(str`Doubts (${left})`) : msg('Doubts')],
      ['bar', target?.name ?? msg('Bar')],
      ['section', target?.section ?? msg('Section')],
    ];
    return html`<div class="main">
      ${this.renderMap()} ${this.sheet ? this.renderSheet(this.sheet) : nothing}
      <div class="sheets" role="group" aria-label=${msg('Shown under the map')}>
        ${sheets.map(
          ([sheet, label]) =>
            html`<button
              aria-expanded=${this.sheet === sheet}
              @click=${() => (this.sheet = this.sheet === sheet ? undefined : sheet)}
            >
              ${label}
            </button>`,
        )}
      </div>
    </div>`;
  }

  private renderSheet(sheet: Sheet): unknown {
    const { session } = this;
    return html`<div class="sheet" data-region="sheet">
      ${
        sheet === 'doubts'
          ? html`<bw-doubts .session=${session}></bw-doubts>`
          : sheet === 'bar'
            ? html`<bw-bar-inspector .session=${session}></bw-bar-inspector>`
            : html`<bw-section-tools .session=${session}></bw-section-tools>`
      }
    </div>`;
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-map-workspace': MapWorkspace;
  }
}
