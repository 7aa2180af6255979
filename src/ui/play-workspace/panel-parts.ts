import { html, type TemplateResult } from 'lit';
import type { Session, Settings } from '../../state/session.js';

/** The number in the field that an event comes from. */
export function numberOf(event: Event): number {
  return Number((event.target as HTMLInputElement).value);
}

export function isChecked(event: Event): boolean {
  return (event.target as HTMLInputElement).checked;
}

/** A whole number within bounds; `otherwise` for what is none. */
export function bounded(value: number, least: number, most: number, otherwise = 0): number {
  return Math.min(most, Math.max(least, Number.isFinite(value) ? Math.round(value) : otherwise));
}

export function set(session: Session, change: Partial<Settings>): void {
  session.settings.value = { ...session.settings.peek(), ...change };
}

type Flag = { [K in keyof Settings]-?: Settings[K] extends boolean ? K : never }[keyof Settings];

/** A setting to be ticked. */
export function checkRow(session: Session, label: string, key: Flag): TemplateResult {
  return html`<label class="wide"
    ><input
      type="checkbox"
      .checked=${session.settings.value[key]}
      @change=${(event: Event) => set(session, { [key]: isChecked(event) })}
    />
    ${label}</label
  >`;
}
