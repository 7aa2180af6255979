import type { KeyBinding } from '../../kit/command.js';
import type { Command } from '../../kit/session.js';

/** A pressed key, as the page tells it; `mod` is Ctrl, or Cmd on a Mac, `other` the one of the two that is not. */
export interface KeyPress {
  readonly key: string;
  readonly code: string;
  readonly shift: boolean;
  readonly alt: boolean;
  readonly mod: boolean;
  readonly other: boolean;
  readonly repeat: boolean;
}

/** Where the focus is and which keys the focused thing keeps for itself. */
export interface FocusKind {
  /** 'song': in the map or the recording. */
  readonly place: 'song' | 'elsewhere';
  /** The workspace "Play" is open. */
  readonly play?: boolean;
  readonly holds: 'nothing' | 'button' | 'slider' | 'list' | 'text';
}

const BUTTON_KEYS = [' ', 'Enter'];
const SLIDER_KEYS = ['ArrowLeft', 'ArrowRight', 'ArrowUp', 'ArrowDown', 'PageUp', 'PageDown', 'Home', 'End'];

/** The command that a key means here, the first that `allowed` lets; undefined when the key belongs to someone else. */
export function commandFor(
  commands: readonly Command[],
  press: KeyPress,
  focus: FocusKind,
  letterKeys: boolean,
  allowed: (command: Command) => boolean,
): Command | undefined {
  if (press.alt || press.other) return undefined;
  const bound = (command: Command): boolean =>
    bindingsOf(command).some((binding) => matches(binding, press)) && allowed(command);
  const pedal = focus.play ? commands.find((command) => command.scope === 'play' && bound(command)) : undefined;
  if (pedal) return pedal;
  // In a text field only function keys are free: Ctrl+Z there undoes typing.
  if (focus.holds === 'text' && !/^F\d+$/.test(press.key)) return undefined;
  if (focus.holds === 'button' && BUTTON_KEYS.includes(press.key)) return undefined;
  if (focus.holds === 'slider' && SLIDER_KEYS.includes(press.key)) return undefined;
  // A list goes to what begins with the letter.
  if (focus.holds === 'list' && (SLIDER_KEYS.includes(press.key) || (press.key.length === 1 && !press.mod)))
    return undefined;
  if (!letterKeys && !press.mod && /^\p{L}$/u.test(press.key)) return undefined;
  return commands.find((command) => reached(command, focus) && bound(command));
}

function reached({ scope }: Command, { place, play }: FocusKind): boolean {
  return scope === 'everywhere' || (place === 'song' && scope !== 'play') || (scope === 'practice' && play === true);
}

/** All keys of a command, the one the menu shows first. */
export function bindingsOf(command: Command): readonly KeyBinding[] {
  return command.key ? [command.key, ...(command.otherKeys ?? [])] : (command.otherKeys ?? []);
}

function matches(binding: KeyBinding, press: KeyPress): boolean {
  if ((binding.shift ?? false) !== press.shift || (binding.mod ?? false) !== press.mod) return false;
  if (binding.code !== undefined) return binding.code === press.code;
  return binding.key !== undefined && binding.key.toLowerCase() === press.key.toLowerCase();
}
