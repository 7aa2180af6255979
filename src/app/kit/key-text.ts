import { msg } from '@lit/localize';
import type { KeyBinding } from './command.js';

const NAMES: Readonly<Record<string, string>> = {
  ' ': msg('Space'),
  arrowleft: '←',
  arrowright: '→',
  arrowup: '↑',
  arrowdown: '↓',
  pageup: msg('Page Up'),
  pagedown: msg('Page Down'),
  enter: msg('Enter'),
  escape: msg('Esc'),
  delete: msg('Del'),
  backspace: msg('Backspace'),
  home: msg('Home'),
  end: msg('End'),
};

/** A key as the menu prints it: "Ctrl Z", "Shift E", "→", "1"; on a Mac "⌘Z". */
export function keyText(binding: KeyBinding, mac: boolean): string {
  const parts: string[] = [];
  if (binding.mod) parts.push(mac ? '⌘' : msg('Ctrl'));
  if (binding.shift) parts.push(mac ? '⇧' : msg('Shift'));
  parts.push(keyName(binding));
  return parts.join(mac ? '' : ' ');
}

function keyName(binding: KeyBinding): string {
  if (binding.code !== undefined) {
    const digit = /^(Digit|Numpad)(\d)$/.exec(binding.code);
    if (digit) return digit[2] ?? '';
    return binding.code.replace(/^Key/, '');
  }
  const key = binding.key ?? '';
  return NAMES[key.toLowerCase()] ?? (key.length === 1 ? key.toUpperCase() : key);
}

/** True on machines whose command key is ⌘. */
export function isMac(): boolean {
  return /Mac|iPhone|iPad/.test(navigator.platform);
}
