import { msg } from '@lit/localize';
import './play-stage.js';
import './practice-panel.js';
import './timing-panel.js';
import '../chords/shapes/shapes-panel.js';
import '../chords/strum/strum-editor.js';
import { css, html, nothing } from 'lit';
import { customElement, property } from 'lit/decorators.js';
import type { PlayPanel, Session } from '../kit/session.js';
import { runHandsFree } from './hands-free-commands.js';
import { MediaKeysController } from './media-keys.js';
import { ListenController } from '../kit/owners.js';
import { SignalElement } from '../kit/signal-element.js';
import { WakeLockController } from './wake-lock.js';
import { set } from '../kit/fields.js';
import { base, controls } from '../kit/styles/shared.js';
import { workspace, workspaceBelow } from '../kit/styles/workspaces.js';

const PANELS: readonly (readonly [PlayPanel, string])[] = [
  ['practice', msg('Practice')],
  ['strum', msg('Strum')],
  ['shapes', msg('Shapes')],
  ['timing', msg('Timing')],
];

/** The workspace "Play": what to play now and next, and beside it how it is practised. */
@customElement('bw-play-workspace')
export class PlayWorkspace extends SignalElement {
  static override styles = [
    base,
    controls,
    workspace,
    workspaceBelow,
    css`
      :host(:fullscreen) {
        background: var(--paper);
        grid-template-columns: minmax(0, 1fr);
      }
      :host(:fullscreen) .side {
        display: none;
      }
      .main {
        display: grid;
        grid-template-rows: minmax(0, 1fr) auto;
        min-height: 0;
        min-width: 0;
      }
      .hands {
        display: flex;
        gap: var(--space-2);
        padding: var(--space-1) var(--space-4) var(--space-2);
      }
      .hands .full {
        margin-left: auto;
      }
      :host(:fullscreen) .hands button {
        min-height: 3rem;
        min-width: 5.5rem;
      }
      .side {
        border-left: var(--rule-width) solid var(--rule);
        display: grid;
        grid-template-rows: auto minmax(0, 1fr);
        min-height: 0;
        min-width: 0;
      }
      .side > :not(.tabs) {
        overflow: auto;
        min-height: 0;
      }
      .tabs {
        display: flex;
        border-bottom: var(--rule-width) solid var(--rule);
      }
      .tabs button {
        flex: 1;
        border: 0;
        border-radius: 0;
        padding: 0 var(--space-2);
        font-size: var(--text-small);
        color: var(--ink-soft);
      }
      .tabs button[aria-selected='true'] {
        color: var(--ink);
        font-weight: 600;
        box-shadow: inset 0 -2px 0 var(--ink);
      }
      @media (max-width: 720px) and (orientation: portrait) {
        /* However much stands around it, the bar to play has room; the panel is scrolled to. */
        :host {
          grid-template-rows: minmax(17rem, 1fr) fit-content(45%);
          overflow: auto;
        }
        .side {
          border-left: 0;
          border-top: var(--rule-width) solid var(--rule-strong);
        }
      }
      @media (max-height: 500px) and (orientation: landscape) {
        :host {
          grid-template-columns: minmax(0, 1fr) 16rem;
        }
        .tabs button {
          padding: 0;
        }
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  private readonly awake = new WakeLockController(this);
  private readonly keys = new MediaKeysController(this, {
    play: () => void this.session.play(),
    stop: () => this.session.stop(),
    back: () => void runHandsFree(this.session, this.session.settings.peek().pedalBack),
    on: () => void runHandsFree(this.session, this.session.settings.peek().pedalOn),
  });

  constructor() {
    super();
    new ListenController(
      this,
      () => document,
      'fullscreenchange',
      () => this.requestUpdate(),
    );
  }

  override render(): unknown {
    const { session } = this;
    this.awake.keep(session.playing.value);
    this.keys.tell(session.map.value?.title ?? '', session.playing.value);
    const full = document.fullscreenElement !== null;
    return html`<div class="main">
        <bw-play-stage .session=${session}></bw-play-stage>
        <div class="hands" role="group" aria-label=${msg('Hands free')}>
          ${
            full
              ? html`<button
                  class="main"
                  ?disabled=${!session.song.value?.audible}
                  @click=${() => void runHandsFree(session, 'play')}
                >
                  ${session.playing.value ? msg('Stop') : msg('Play')}
                </button>`
              : nothing
          }
          <button @click=${() => void runHandsFree(session, 'again')}>${msg('Again')}</button>
          <button @click=${() => void runHandsFree(session, 'go on')}>${msg('Go on')}</button>
          ${this.renderCountIn()}
          ${
            document.fullscreenEnabled
              ? html`<button class="full" @click=${() => void this.toggleFull()}>
                  ${full ? msg('Leave full screen') : msg('Full screen')}
                </button>`
              : ''
          }
        </div>
      </div>
      <div class="side">${this.renderTabs()} ${this.renderPanel()}</div>`;
  }

  /** Counting in, within reach of whoever is about to play; how much is set in the panel. */
  private renderCountIn(): unknown {
    const { settings } = this.session;
    const { countInBars, countInBeats } = settings.value;
    const on = countInBars > 0 || countInBeats > 0;
    const change = { countInBars: on ? 0 : 1, countInBeats: 0 } as const;
    return html`<button aria-pressed=${on} @click=${() => set(this.session, change)}>
      ${on ? msg('Count-in on') : msg('Count-in off')}
    </button>`;
  }

  private renderTabs(): unknown {
    const { panel } = this.session.view;
    return html`<div class="tabs" role="tablist" aria-label=${msg('Beside the stage')} @keydown=${this.moveTab}>
      ${PANELS.map(
        ([name, label]) =>
          html`<button
            role="tab"
            id=${name}
            aria-selected=${panel.value === name}
            tabindex=${panel.value === name ? 0 : -1}
            @click=${() => (panel.value = name)}
          >
            ${label}
          </button>`,
      )}
    </div>`;
  }

  private renderPanel(): unknown {
    const { session } = this;
    switch (session.view.panel.value) {
      case 'timing':
        return html`<bw-timing-panel data-region="practice" .session=${session}></bw-timing-panel>`;
      case 'shapes':
        return html`<bw-shapes-panel data-region="practice" .session=${session}></bw-shapes-panel>`;
      case 'strum':
        return html`<bw-strum-editor data-region="practice" .session=${session}></bw-strum-editor>`;
      default:
        return html`<bw-practice-panel data-region="practice" .session=${session}></bw-practice-panel>`;
    }
  }

  /** Arrow keys go from tab to tab (ARIA Authoring Practices, tabs). */
  private readonly moveTab = async (event: KeyboardEvent): Promise<void> => {
    const step = event.key === 'ArrowRight' ? 1 : event.key === 'ArrowLeft' ? -1 : 0;
    if (step === 0) return;
    event.preventDefault();
    const { panel } = this.session.view;
    const here = PANELS.findIndex(([name]) => name === panel.value);
    panel.value = PANELS[(here + step + PANELS.length) % PANELS.length]![0];
    await this.updateComplete;
    this.renderRoot.querySelector<HTMLElement>(`#${panel.value}`)?.focus();
  };

  private async toggleFull(): Promise<void> {
    try {
      await (document.fullscreenElement ? document.exitFullscreen() : this.requestFullscreen());
    } catch {
      this.session.say({ kind: 'info', text: msg('This browser does not allow full screen here.') });
    }
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'bw-play-workspace': PlayWorkspace;
  }
}
