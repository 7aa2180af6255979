import { html, nothing, type TemplateResult } from 'lit';
import type { Command } from './session.js';
import type { Session } from './session.js';
import { isMac, keyText } from './key-text.js';

/** The command with this id; undefined when the session has none. */
export function commandOf(session: Session, id: string): Command | undefined {
  return session.commands.find((command) => command.id === id);
}

/** The key of a command as the menu prints it, or undefined. */
export function keyOf(session: Session, id: string): string | undefined {
  const key = commandOf(session, id)?.key;
  return key && keyText(key, isMac());
}

/** Runs a command when it is allowed now. */
export function runCommand(session: Session, command: Command): void {
  if (command.allowed(session)) void Promise.resolve(command.run(session));
}

/**
 * A button that runs a command and is greyed while it is not allowed; its title names the command and its key. Draws
 * nothing when there is no such command. `label` replaces the command's own where the place already says half of it.
 */
export function commandButton(session: Session, id: string, label?: string): TemplateResult | typeof nothing {
  const command = commandOf(session, id);
  if (!command) return nothing;
  const key = keyOf(session, id);
  const words = label !== undefined && /\p{L}/u.test(label);
  return html`<button
    data-command=${id}
    title=${key ? `${command.label} (${key})` : command.label}
    aria-label=${label === undefined || label === command.label ? nothing : words ? nameWith(label, command.label) : command.label}
    ?disabled=${!command.allowed(session)}
    @click=${() => runCommand(session, command)}
  >
    ${label ?? command.label}
  </button>`;
}

/** A name that holds what is read on the button, so that it can be called by voice (WCAG 2.2, 2.5.3 Label in Name). */
function nameWith(label: string, name: string): string {
  return name.toLowerCase().includes(label.toLowerCase()) ? name : `${label}: ${name}`;
}
