import type { Command } from '../../state/commands/command.js';

/** Groups in menu order with their names. */
export const GROUPS: readonly (readonly [Command['group'], string])[] = [
  ['song', 'Song'],
  ['play', 'Play'],
  ['bars', 'Bars'],
  ['beats', 'Beats'],
  ['sections', 'Sections'],
  ['chords', 'Chords'],
  ['doubts', 'Doubts'],
  ['view', 'View'],
];

/** The commands by group, groups without any left out. */
export function grouped(
  commands: readonly Command[],
): readonly { readonly name: string; readonly commands: readonly Command[] }[] {
  return GROUPS.map(([group, name]) => ({
    name,
    commands: commands.filter((command) => command.group === group),
  })).filter((group) => group.commands.length > 0);
}
