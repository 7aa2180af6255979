import { describe, expect, it } from 'vitest';
import { ALL_COMMANDS } from '../../../../src/app/shell/all-commands.js';
import { bindingsOf } from '../../../../src/app/shell/shortcuts/key-dispatch.js';
import { keyTable } from '../../../../src/app/shell/shortcuts/command-groups.js';
import { keyText } from '../../../../src/app/kit/key-text.js';

/** Commands that the rows of length keys stand for. */
const DIGITS = /^bar-(before-)?\d$/;

describe.each([
  ['a Mac', true],
  ['another machine', false],
])('the table of keys on %s', (_, mac) => {
  const lines = keyTable(ALL_COMMANDS, mac).flatMap((group) => group.lines);

  it('shows every command with a key, all its keys, and no other command', () => {
    const expected = ALL_COMMANDS.filter((command) => bindingsOf(command).length > 0 && !DIGITS.test(command.id));
    expect(expected.length).toBeGreaterThan(40);
    const shown = lines.filter(({ to }) => !to);
    expect(shown.map(({ label }) => label).sort()).toEqual(expected.map(({ label }) => label).sort());
    for (const command of expected) {
      const { keys } = shown.find(({ label }) => label === command.label)!;
      expect(new Set(keys), command.label).toEqual(
        new Set(bindingsOf(command).map((binding) => keyText(binding, mac))),
      );
    }
  });

  it('shows the length keys in two lines, with and without shift', () => {
    const digits = lines.filter(({ to }) => to);
    expect(digits.map(({ keys }) => keys.join(' to '))).toEqual(['1 to 9', mac ? '⇧1 to 9' : 'Shift 1 to 9']);
    expect(digits.map(({ label }) => label.startsWith('The bar before'))).toEqual([false, true]);
    expect(ALL_COMMANDS.filter(({ id }) => DIGITS.test(id))).toHaveLength(20);
  });

  it('names no two commands alike', () => {
    expect(new Set(lines.map(({ label }) => label)).size).toBe(lines.length);
  });
});
