import { describe, expect, it } from 'vitest';
import type { KeyBinding } from '../../../../src/app/kit/command.js';
import type { Command } from '../../../../src/app/kit/session.js';
import { commandFor, type FocusKind, type KeyPress } from '../../../../src/app/shell/shortcuts/key-dispatch.js';

function command(
  id: string,
  key: KeyBinding,
  scope: Command['scope'] = 'map',
  otherKeys?: readonly KeyBinding[],
): Command {
  return { id, label: id, key, otherKeys, scope, group: 'bars', allowed: () => true, run: () => undefined };
}

const COMMANDS = [
  command('play', { key: ' ' }, 'everywhere'),
  command('four', { code: 'Digit4' }, 'map', [{ code: 'Numpad4' }]),
  command('before', { code: 'Digit4', shift: true }),
  command('undo', { key: 'z', mod: true }, 'everywhere'),
  command('closer', { key: 'z' }),
  command('back', { key: 'ArrowLeft' }),
  command('help', { key: 'F1' }, 'everywhere'),
  command('slower', { key: 's' }, 'practice'),
];

const SONG: FocusKind = { place: 'song', holds: 'nothing' };
const ELSEWHERE: FocusKind = { place: 'elsewhere', holds: 'nothing' };
const press = (key: string, more: Partial<KeyPress> = {}): KeyPress => ({
  key,
  code: '',
  shift: false,
  alt: false,
  mod: false,
  other: false,
  repeat: false,
  ...more,
});
const find = (what: KeyPress, focus = SONG, letters = true, allowed: (one: Command) => boolean = () => true) =>
  commandFor(COMMANDS, what, focus, letters, allowed)?.id;

describe('keys', () => {
  it('take length keys by where the key is, whatever the layout prints on it', () => {
    expect(find(press("'", { code: 'Digit4' }))).toBe('four');
    expect(find(press('4', { code: 'Numpad4' }))).toBe('four');
    expect(find(press('$', { code: 'Digit4', shift: true }))).toBe('before');
    expect(find(press('4', { code: 'Digit4', mod: true }))).toBeUndefined();
  });

  it('tell a letter from the same letter with the command key', () => {
    expect(find(press('z'))).toBe('closer');
    expect(find(press('Z', { mod: true }))).toBe('undo');
    expect(find(press('z', { alt: true }))).toBeUndefined();
  });

  it('act on the song only while it has the focus', () => {
    expect(find(press('z'), ELSEWHERE)).toBeUndefined();
    expect(find(press(' '), ELSEWHERE)).toBe('play');
  });

  it('leave a button its space and a slider its arrows', () => {
    expect(find(press(' '), { place: 'song', holds: 'button' })).toBeUndefined();
    expect(find(press('ArrowLeft'), { place: 'song', holds: 'slider' })).toBeUndefined();
    expect(find(press('ArrowLeft'), { place: 'song', holds: 'button' })).toBe('back');
    expect(find(press(' '), { place: 'elsewhere', holds: 'slider' })).toBe('play');
  });

  it('of practice act in the song, and anywhere in the workspace Play', () => {
    expect(find(press('s'), SONG)).toBe('slower');
    expect(find(press('s'), ELSEWHERE)).toBeUndefined();
    expect(find(press('s'), { ...ELSEWHERE, play: true })).toBe('slower');
    expect(find(press('z'), { ...ELSEWHERE, play: true })).toBeUndefined();
    expect(find(press('s'), { place: 'elsewhere', holds: 'text', play: true })).toBeUndefined();
    expect(find(press('s'), { place: 'elsewhere', holds: 'list', play: true })).toBeUndefined();
  });

  it('leave a text field all keys but the function keys', () => {
    const text: FocusKind = { place: 'song', holds: 'text' };
    expect(['z', ' ', 'ArrowLeft'].map((key) => find(press(key), text))).toEqual([undefined, undefined, undefined]);
    expect(find(press('z', { mod: true }), text)).toBeUndefined();
    expect(find(press('F1'), text)).toBe('help');
  });

  it('are not letters when letters are switched off', () => {
    expect(find(press('z'), SONG, false)).toBeUndefined();
    expect(find(press('z', { mod: true }), SONG, false)).toBe('undo');
    expect(find(press('4', { code: 'Digit4' }), SONG, false)).toBe('four');
  });

  it('mean the first command that is allowed', () => {
    const two = [command('end tapping', { key: 'Escape' }), command('select nothing', { key: 'Escape' })];
    const found = commandFor(two, press('Escape'), SONG, true, (one) => one.id !== 'end tapping');
    expect(found?.id).toBe('select nothing');
  });
});
