import type { ReactiveController, ReactiveControllerHost } from 'lit';
import type { Command } from '../../kit/session.js';
import type { Session } from '../../kit/session.js';
import { isMac } from '../../kit/key-text.js';
import { commandFor, type FocusKind, type KeyPress } from './key-dispatch.js';

/** Elements whose keys are the map's: where `data-region` is one of these. */
const SONG_REGIONS = ['recording', 'map', 'passes'];

/**
 * The one listener for keys: finds the command a key means where the focus is and runs it; F6 walks the regions, F1
 * shows the table of keys, Escape closes what is open.
 */
export class KeyboardController implements ReactiveController {
  /** What the pointer pressed last, from the inside out. */
  private pointed: readonly EventTarget[] = [];

  constructor(private readonly host: ReactiveControllerHost & HTMLElement & { readonly session: Session }) {
    host.addController(this);
  }

  hostConnected(): void {
    window.addEventListener('keydown', this.pressed);
    window.addEventListener('pointerdown', this.pointedAt, { capture: true });
  }

  hostDisconnected(): void {
    window.removeEventListener('keydown', this.pressed);
    window.removeEventListener('pointerdown', this.pointedAt, { capture: true });
  }

  private readonly pointedAt = (event: PointerEvent): void => {
    this.pointed = event.composedPath();
  };

  private readonly pressed = (event: KeyboardEvent): void => {
    if (event.defaultPrevented || event.isComposing) return;
    const { session } = this.host;
    if (event.key === 'F6' && !event.altKey && !event.metaKey && !event.ctrlKey) {
      event.preventDefault();
      this.pointed = [];
      this.nextRegion(event.shiftKey ? -1 : 1);
      return;
    }
    if (event.key === 'Escape' && session.view.help.value) {
      event.preventDefault();
      session.view.help.value = false;
      return;
    }
    if (event.key === 'Escape' && session.view.helpPage.value) {
      event.preventDefault();
      session.view.helpPage.value = false;
      return;
    }
    const press: KeyPress = {
      key: event.key,
      code: event.code,
      shift: event.shiftKey,
      alt: event.altKey,
      mod: isMac() ? event.metaKey : event.ctrlKey,
      other: isMac() ? event.ctrlKey : event.metaKey,
      repeat: event.repeat,
    };
    // Selected words are what is meant to be copied then.
    if (press.mod && press.key.toLowerCase() === 'c' && String(getSelection() ?? '') !== '') return;
    if (event.key === 'Tab') this.pointed = [];
    const kind = focusKind(event);
    // A button that the pointer pressed has the focus by the way: space goes on playing, it does not press it again.
    const byTheWay = kind.holds === 'button' && event.key === ' ' && this.isPointedButton(event.composedPath()[0]);
    const focus = {
      ...kind,
      holds: byTheWay ? 'nothing' : kind.holds,
      play: session.view.workspace.value === 'play',
    } as const;
    const command = commandFor(session.commands, press, focus, session.settings.value.letterKeys, (each) =>
      each.allowed(session),
    );
    if (!command) return;
    event.preventDefault();
    if (event.repeat && !command.repeats) return;
    void run(command, session);
  };

  private isPointedButton(target: EventTarget | undefined): boolean {
    return target instanceof HTMLButtonElement && this.pointed.includes(target);
  }

  private nextRegion(step: 1 | -1): void {
    const regions = regionsOf(this.host.shadowRoot);
    if (regions.length === 0) return;
    const now = regions.findIndex((region) => region.matches(':focus-within'));
    const next = now < 0 ? (step > 0 ? 0 : regions.length - 1) : now + step;
    for (let tried = 0; tried < regions.length; tried += 1) {
      const place = (((next + tried * step) % regions.length) + regions.length) % regions.length;
      if (focusFirst(regions[place])) return;
    }
  }
}

async function run(command: Command, session: Session): Promise<void> {
  await command.run(session);
}

function focusKind(event: KeyboardEvent): FocusKind {
  const path = event.composedPath();
  const target = path[0];
  const song = path.some((node) => node instanceof HTMLElement && SONG_REGIONS.includes(node.dataset['region'] ?? ''));
  // Nothing has the focus (a pressed button that went away): the song has it.
  const place = song || target === document.body ? 'song' : 'elsewhere';
  if (!(target instanceof HTMLElement)) return { place, holds: 'nothing' };
  if (target.isContentEditable || target instanceof HTMLTextAreaElement) return { place, holds: 'text' };
  if (target instanceof HTMLInputElement) {
    if (target.type === 'range') return { place, holds: 'slider' };
    return { place, holds: target.type === 'checkbox' || target.type === 'radio' ? 'button' : 'text' };
  }
  if (target instanceof HTMLSelectElement) return { place, holds: 'list' };
  const role = target.getAttribute('role') ?? '';
  const pressed =
    target instanceof HTMLButtonElement || target instanceof HTMLAnchorElement || target.tagName === 'SUMMARY';
  return { place, holds: pressed || role.startsWith('menuitem') ? 'button' : 'nothing' };
}

/** Every region in the order of the page, through shadow roots, not inside one another. */
function regionsOf(root: ParentNode | null | undefined): HTMLElement[] {
  if (!root) return [];
  const found: HTMLElement[] = [];
  for (const element of root.querySelectorAll<HTMLElement>('*')) {
    if (element.dataset['region'] !== undefined) {
      if (element.getClientRects().length > 0) found.push(element);
    } else if (element.shadowRoot) {
      found.push(...regionsOf(element.shadowRoot));
    }
  }
  return found;
}

const FOCUSABLE = 'button:not(:disabled), input:not(:disabled), select, a[href], summary, [tabindex]';

/** Puts the focus on the region's own tab stop (a cell, the close-up), or on its first button; false when it has none. */
function focusFirst(region: HTMLElement | undefined): boolean {
  if (!region) return false;
  const stops = [...walk(region)].filter(
    (element) => element.matches(FOCUSABLE) && element.tabIndex >= 0 && element.getClientRects().length > 0,
  );
  const stop = stops.find((element) => element.hasAttribute('tabindex')) ?? stops[0];
  stop?.focus();
  return stop !== undefined;
}

function* walk(element: HTMLElement): Generator<HTMLElement> {
  yield element;
  for (const child of [...(element.shadowRoot?.children ?? []), ...element.children]) {
    if (child instanceof HTMLElement) yield* walk(child);
  }
}
