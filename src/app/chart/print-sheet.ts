import type { ReactiveController, ReactiveControllerHost } from 'lit';
import { pageElement } from '../../export/chart/chart-svg.js';
import type { ChartLayout } from '../../export/chart/layout.js';
import { svgNode } from './svg-node.js';

/**
 * While its host is in the page, printing prints these pages and nothing else, on paper of their size: they lie in an element
 * of their own that only printers show (styles/page.css), and a style sheet of the page's names the paper.
 */
export class PrintSheetController implements ReactiveController {
  private sheet: HTMLElement | undefined;
  private shown: ChartLayout | undefined;
  private readonly style = new CSSStyleSheet();

  constructor(host: ReactiveControllerHost) {
    host.addController(this);
  }

  show(layout: ChartLayout): void {
    if (!this.sheet || layout === this.shown) return;
    this.shown = layout;
    const { width, height } = layout;
    this.style.replaceSync(`@page { size: ${width}pt ${height}pt; margin: 0; }`);
    this.sheet.replaceChildren(...layout.pages.map((_, i) => svgNode(pageElement(layout, i))));
  }

  hostConnected(): void {
    this.sheet = document.createElement('div');
    this.sheet.className = 'print-sheet';
    this.sheet.setAttribute('aria-hidden', 'true');
    document.body.append(this.sheet);
    document.adoptedStyleSheets.push(this.style);
  }

  hostDisconnected(): void {
    this.sheet?.remove();
    this.sheet = undefined;
    this.shown = undefined;
    document.adoptedStyleSheets = document.adoptedStyleSheets.filter((sheet) => sheet !== this.style);
  }
}
