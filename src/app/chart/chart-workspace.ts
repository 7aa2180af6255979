import { msg } from '@lit/localize';
import './chart-panel.js';
import { css, html, nothing, unsafeCSS } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import { CHART_STYLE, pageElement } from '../../export/chart/chart-svg.js';
import type { ChartLayout } from '../../export/chart/layout.js';
import { chartOptionsOf } from './chart-actions.js';
import { pagesOf } from './save-chart.js';
import type { Session } from '../kit/session.js';
import { SignalElement } from '../kit/signal-element.js';
import { base, controls } from '../kit/styles/shared.js';
import { workspace, workspaceBelow } from '../kit/styles/workspaces.js';
import { PrintSheetController } from './print-sheet.js';
import { svgNode } from './svg-node.js';

/** The workspace "Chart": the pages as they print, and beside them how they are written. */
@customElement('bw-chart-workspace')
export class ChartWorkspace extends SignalElement {
  static override styles = [
    base,
    controls,
    workspace,
    workspaceBelow,
    css`
      .pages {
        overflow: auto;
        min-height: 0;
        padding: var(--space-5);
        background: var(--paper-sunk);
        display: flex;
        flex-direction: column;
        align-items: center;
        gap: var(--space-5);
      }
      .page {
        width: 100%;
        max-width: 52rem;
        flex: none;
        border: var(--rule-width) solid var(--rule-strong);
        background: #ffffff;
      }
      .page.wide {
        max-width: 72rem;
      }
      .page svg {
        display: block;
        width: 100%;
        height: auto;
      }
      bw-chart-panel {
        border-left: var(--rule-width) solid var(--rule);
        overflow: auto;
        min-height: 0;
      }
      @media (max-width: 720px) and (orientation: portrait) {
        .pages {
          padding: var(--space-2);
        }
        bw-chart-panel {
          border-left: 0;
          border-top: var(--rule-width) solid var(--rule-strong);
        }
      }
    `,
    unsafeCSS(CHART_STYLE),
  ];

  @property({ attribute: false }) session!: Session;
  private readonly sheet = new PrintSheetController(this);
  private drawn:
    { readonly of: readonly unknown[]; readonly layout: ChartLayout; readonly svgs: readonly SVGElement[] } | undefined;

  override render(): unknown {
    const { session } = this;
    const pages = this.pages();
    if (!pages) return nothing;
    const { layout, svgs } = pages;
    const wide = layout.width > layout.height ? 'page wide' : 'page';
    return html`<div class="pages" data-region="chart" tabindex="0" role="region" aria-label=${msg('Pages')}>
        ${svgs.map((svg) => html`<div class=${wide}>${svg}</div>`)}
      </div>
      <bw-chart-panel data-region="chart options" .session=${session}></bw-chart-panel>`;
  }

  protected override updated(): void {
    if (this.drawn) this.sheet.show(this.drawn.layout);
  }

  /** Laid out anew only when the map, the passes or what is shown changed. */
  private pages(): typeof this.drawn {
    const { session } = this;
    const map = session.map.value;
    if (!map) return undefined;
    const kind = session.view.pages.value;
    const options = chartOptionsOf(map, session.settings.value);
    const passes = session.passes.value;
    const of = [map, kind, options.instrument, passes];
    if (this.drawn?.of.every((each, i) => each === of[i])) return this.drawn;
    const layout = pagesOf(map, options, passes, kind);
    const svgs = layout.pages.map((_, i) => svgNode(pageElement(layout, i)));
    return (this.drawn = { of, layout, svgs });
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-chart-workspace': ChartWorkspace;
  }
}
