import { msg, str } from '@lit/localize';
import type { Command } from '../../kit/session.js';
import { bindingsOf } from './key-dispatch.js';
import { keyText } from '../../kit/key-text.js';

/** Groups in menu order with their names. */
export const GROUPS: readonly (readonly [Command['group'], string])[] = [
  ['song', msg('Song')],
  ['play', msg('Play')],
  ['bars', msg('Bars')],
  ['beats', msg('Beats')],
  ['sections', msg('Sections')],
  ['passes', msg('Passes')],
  ['chords', msg('Chords')],
  ['doubts', msg('Doubts')],
  ['view', msg('View')],
];

/** One line of the menu or of the table of keys: a command, or the length keys in a row. */
export type Line =
  | { readonly kind: 'command'; readonly command: Command }
  | { readonly kind: 'digits'; readonly label: string; readonly shift: boolean; readonly commands: readonly Command[] };

export interface Group {
  readonly name: string;
  readonly lines: readonly Line[];
}

/** The commands by group, groups without any left out; the length keys, twenty of them, take two lines instead of twenty. */
export function grouped(commands: readonly Command[]): readonly Group[] {
  return GROUPS.map(([group, name]) => ({
    name,
    lines: linesOf(commands.filter((command) => command.group === group)),
  })).filter((group) => group.lines.length > 0);
}

/** One line of the table of keys: what is done, and the keys that do it; from the first `to` the last, or one or the other. */
export interface KeyLine {
  readonly label: string;
  readonly keys: readonly string[];
  readonly to?: true;
}

/** The table of keys: every command that has one, by group, groups without keys left out. */
export function keyTable(
  commands: readonly Command[],
  mac: boolean,
): readonly { readonly name: string; readonly lines: readonly KeyLine[] }[] {
  return grouped(commands)
    .map(({ name, lines }) => ({ name, lines: lines.map((line) => keyLine(line, mac)).filter(hasKeys) }))
    .filter(({ lines }) => lines.length > 0);
}

function keyLine(line: Line, mac: boolean): KeyLine {
  if (line.kind === 'digits') {
    const keys = [keyText({ code: 'Digit1', shift: line.shift }, mac), '9'];
    return { label: msg(str`${line.label}; two digits for 10 to 12`), keys, to: true };
  }
  const keys = new Set(bindingsOf(line.command).map((binding) => keyText(binding, mac)));
  return { label: line.command.label, keys: [...keys] };
}

function hasKeys({ keys }: KeyLine): boolean {
  return keys.length > 0;
}

function linesOf(commands: readonly Command[]): readonly Line[] {
  const lines: Line[] = [];
  for (const shift of [false, true]) {
    const digits = commands.filter((command) => isLength(command, shift));
    const label = shift ? msg('The bar before has so many beats') : msg('The bar has so many beats');
    if (digits.length > 0) lines.push({ kind: 'digits', label, shift, commands: digits });
  }
  const others = commands.filter((command) => !isLength(command, false) && !isLength(command, true));
  return [...lines, ...others.map((command): Line => ({ kind: 'command', command }))];
}

function isLength(command: Command, shift: boolean): boolean {
  const { key } = command;
  return key?.code !== undefined && /^Digit\d$/.test(key.code) && (key.shift ?? false) === shift && !key.mod;
}
