import type { Settings } from './session.js';

/** Playback starts at a modest level and rises only by hand. */
export const DEFAULT_SETTINGS: Settings = {
  recordingLevel: 0.4,
  clickLevel: 0.3,
  clickOn: true,
  theme: 'system',
  letterKeys: true,
  keyLag: 250,
  snapTaps: true,
};

/** Longest lag of a length key in milliseconds. */
const MAX_LAG = 1000;

/** Settings from what was kept; whatever is missing or makes no sense takes its default. */
export function readSettings(kept: unknown): Settings {
  const from = typeof kept === 'object' && kept !== null ? (kept as Readonly<Record<string, unknown>>) : {};
  const level = (value: unknown, otherwise: number): number =>
    typeof value === 'number' && value >= 0 && value <= 1 ? value : otherwise;
  const flag = (value: unknown, otherwise: boolean): boolean => (typeof value === 'boolean' ? value : otherwise);
  const { theme, keyLag } = from;
  return {
    recordingLevel: level(from['recordingLevel'], DEFAULT_SETTINGS.recordingLevel),
    clickLevel: level(from['clickLevel'], DEFAULT_SETTINGS.clickLevel),
    clickOn: flag(from['clickOn'], DEFAULT_SETTINGS.clickOn),
    theme: theme === 'light' || theme === 'dark' ? theme : DEFAULT_SETTINGS.theme,
    letterKeys: flag(from['letterKeys'], DEFAULT_SETTINGS.letterKeys),
    keyLag: typeof keyLag === 'number' && keyLag >= 0 && keyLag <= MAX_LAG ? keyLag : DEFAULT_SETTINGS.keyLag,
    snapTaps: flag(from['snapTaps'], DEFAULT_SETTINGS.snapTaps),
  };
}
