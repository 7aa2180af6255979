import type { Command } from '../../state/commands/command.js';

/** Groups in menu order with their names. */
export const GROUPS: readonly (readonly [Command['group'], string])[] = [
  ['song', 'Song'],
  ['play', 'Play'],
  ['bars', 'Bars'],
  ['beats', 'Beats'],
  ['sections', 'Sections'],
  ['passes', 'Passes'],
  ['chords', 'Chords'],
  ['doubts', 'Doubts'],
  ['view', 'View'],
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

function linesOf(commands: readonly Command[]): readonly Line[] {
  const lines: Line[] = [];
  for (const shift of [false, true]) {
    const digits = commands.filter((command) => isLength(command, shift));
    const label = shift ? 'The bar before has so many beats' : 'The bar has so many beats';
    if (digits.length > 0) lines.push({ kind: 'digits', label, shift, commands: digits });
  }
  const others = commands.filter((command) => !isLength(command, false) && !isLength(command, true));
  return [...lines, ...others.map((command): Line => ({ kind: 'command', command }))];
}

function isLength(command: Command, shift: boolean): boolean {
  const { key } = command;
  return key?.code !== undefined && /^Digit\d$/.test(key.code) && (key.shift ?? false) === shift && !key.mod;
}
