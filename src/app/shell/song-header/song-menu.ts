import { msg } from '@lit/localize';
import { css, html, nothing } from 'lit';
import { customElement, property, query } from 'lit/decorators.js';
import type { Command } from '../../kit/session.js';
import type { Session, Settings } from '../../kit/session.js';
import { walkByArrows } from '../../kit/focus.js';
import { SignalElement } from '../../kit/signal-element.js';
import { isChecked, numberOf, set, valueOf } from '../../kit/fields.js';
import { grouped, type Line } from '../shortcuts/command-groups.js';
import { isMac, keyText } from '../../kit/key-text.js';
import { underButton } from '../../kit/styles/panels.js';
import { base, controls } from '../../kit/styles/shared.js';

/** Every command with its key beside it, and the settings. Opens under its button; Escape or a press elsewhere closes it. */
@customElement('bw-song-menu')
export class SongMenu extends SignalElement {
  static override styles = [
    base,
    controls,
    underButton,
    css`
      [popover] {
        --width: 60rem;
      }
      .groups {
        columns: 15rem 3;
        column-gap: var(--space-5);
      }
      /* Its groups stand in the columns beside the settings, which are no commands. */
      [role='menu'] {
        display: contents;
      }
      .item {
        display: flex;
        width: 100%;
        justify-content: space-between;
        text-align: left;
        border: 0;
        padding: 0 var(--space-1);
        font-size: var(--text-small);
      }
      .digits {
        padding: var(--space-1);
        font-size: var(--text-small);
      }
      .digits div {
        display: flex;
        gap: 2px;
        margin-top: var(--space-1);
      }
      .digits button {
        flex: 1;
        padding: 0;
      }
      .setting {
        display: flex;
        align-items: center;
        gap: var(--space-2);
        min-height: var(--target-small);
        font-size: var(--text-small);
        justify-content: space-between;
      }
      .setting input[type='number'] {
        width: 5rem;
        min-height: var(--target-small);
        background: var(--paper);
        border: var(--rule-width) solid var(--rule-strong);
        border-radius: var(--radius);
      }
    `,
  ];

  @property({ attribute: false }) session!: Session;
  @query('[popover]') private panel!: HTMLElement;
  private open = false;

  override render(): unknown {
    return html`<button popovertarget="panel" aria-haspopup="menu">${msg('Menu')}</button>
      <div id="panel" popover @toggle=${this.toggled} @keydown=${this.keyed}>
        ${this.open ? this.renderPanel() : nothing}
      </div>`;
  }

  private renderPanel(): unknown {
    const { session } = this;
    const mac = isMac();
    return html`<div class="groups">
      <div role="menu" aria-label=${msg('All commands')}>
        ${grouped(session.commands).map(
          ({ name, lines }) =>
            html`<section role="group" aria-label=${name}>
              <div class="name" aria-hidden="true">${name}</div>
              ${lines.map((line) =>
                line.kind === 'digits' ? this.renderDigits(line) : this.renderItem(line.command, mac),
              )}
            </section>`,
        )}
      </div>
      ${this.renderSettings()}
    </div>`;
  }

  private renderItem(command: Command, mac: boolean): unknown {
    return html`<button
      class="item"
      role="menuitem"
      ?disabled=${!command.allowed(this.session)}
      @click=${() => this.run(command)}
    >
      <span>${command.label}</span>${command.key ? html`<kbd>${keyText(command.key, mac)}</kbd>` : nothing}
    </button>`;
  }

  private renderDigits(line: Extract<Line, { kind: 'digits' }>): unknown {
    return html`<div class="digits" role="group" aria-label=${line.label}>
      <span>${line.label}${line.shift ? html` <kbd>${msg('Shift')}</kbd>` : nothing}</span>
      <div>
        ${line.commands
          .filter((command) => !command.key?.code?.endsWith('0'))
          .map(
            (command) =>
              html`<button
                role="menuitem"
                aria-label=${command.label}
                ?disabled=${!command.allowed(this.session)}
                @click=${() => this.run(command)}
              >
                ${command.key?.code?.at(-1)}
              </button>`,
          )}
      </div>
    </div>`;
  }

  private renderSettings(): unknown {
    const settings = this.session.settings.value;
    return html`<section role="group" aria-label=${msg('Settings')}>
      <h2>${msg('Settings')}</h2>
      <label class="setting"
        >${msg('Page')}
        <select @change=${(event: Event) => set(this.session, { theme: valueOf(event) as Settings['theme'] })}>
          ${(['system', 'light', 'dark'] as const).map(
            (theme) => html`<option value=${theme} ?selected=${settings.theme === theme}>${THEMES[theme]}</option>`,
          )}
        </select>
      </label>
      <label class="setting"
        >${msg('Letters are keys')}
        <input
          type="checkbox"
          .checked=${settings.letterKeys}
          @change=${(event: Event) => set(this.session, { letterKeys: isChecked(event) })}
        />
      </label>
      <label class="setting"
        >${msg('Taps go to the nearest attack')}
        <input
          type="checkbox"
          .checked=${settings.snapTaps}
          @change=${(event: Event) => set(this.session, { snapTaps: isChecked(event) })}
        />
      </label>
      <label class="setting"
        >${msg('A length key means the bar heard so many ms before')}
        <input
          type="number"
          min="0"
          max="1000"
          step="10"
          .value=${String(settings.keyLag)}
          @change=${(event: Event) => set(this.session, { keyLag: numberOf(event) || 0 })}
        />
      </label>
    </section>`;
  }

  private run(command: Command): void {
    this.panel.hidePopover();
    void Promise.resolve(command.run(this.session));
  }

  private readonly toggled = (event: ToggleEvent): void => {
    this.open = event.newState === 'open';
    this.requestUpdate();
    if (this.open) void this.updateComplete.then(() => this.items()[0]?.focus());
  };

  private items(): HTMLElement[] {
    return [...this.panel.querySelectorAll<HTMLElement>('[role="menuitem"]:not(:disabled)')];
  }

  private readonly keyed = (event: KeyboardEvent): void => walkByArrows(event, this.items());
}

const THEMES = { system: msg('As the system'), light: msg('Light'), dark: msg('Dark') } as const;

declare global {
  interface HTMLElementTagNameMap {
    'bw-song-menu': SongMenu;
  }
}
