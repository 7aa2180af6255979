import type { Session } from './session.js';

/** One thing a user can do: menu entry, key and button all run the same record. */
export interface Command {
  readonly id: string;
  /** As the menu says it: "Half tempo". */
  readonly label: string;
  readonly key?: KeyBinding;
  /** Other keys that do the same: Ctrl Y beside Ctrl shift Z. */
  readonly otherKeys?: readonly KeyBinding[];
  /** Holding the key down does it again and again; without it, once a press. */
  readonly repeats?: true;
  /**
   * 'map': only while the map or the recording has the focus; 'practice': there, and anywhere while the workspace "Play" is
   * open; 'everywhere': always. None of these in text fields. 'play': wherever the focus is while the workspace "Play" is open,
   * before all others.
   */
  readonly scope: 'everywhere' | 'map' | 'practice' | 'play';
  readonly group: 'song' | 'play' | 'bars' | 'beats' | 'sections' | 'passes' | 'chords' | 'doubts' | 'view';
  allowed(session: Session): boolean;
  run(session: Session): void | Promise<void>;
}

/** `code` for physical keys (Digit1, Numpad1), `key` for letters and named keys. `mod` is Ctrl, or Cmd on a Mac. */
export interface KeyBinding {
  readonly key?: string;
  readonly code?: string;
  readonly shift?: boolean;
  readonly mod?: boolean;
}
