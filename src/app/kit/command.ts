/** `code` for physical keys (Digit1, Numpad1), `key` for letters and named keys. `mod` is Ctrl, or Cmd on a Mac. */
export interface KeyBinding {
  readonly key?: string;
  readonly code?: string;
  readonly shift?: boolean;
  readonly mod?: boolean;
}
