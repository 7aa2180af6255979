import type { Settings } from './session.js';

/** Playback starts at a modest level and rises only by hand. */
export const DEFAULT_SETTINGS: Settings = {
  recordingLevel: 0.4,
  clickLevel: 0.3,
  clickOn: true,
  countLevel: 0.3,
  strumLevel: 0.2,
  clickParts: 1,
  clickFirstBarOnly: false,
  countInBars: 0,
  countEachRound: false,
  strumOn: false,
  instrument: 'ukulele',
  spokenCount: false,
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
    countLevel: level(from['countLevel'], DEFAULT_SETTINGS.countLevel),
    strumLevel: level(from['strumLevel'], DEFAULT_SETTINGS.strumLevel),
    clickParts: oneOf(from['clickParts'], [1, 2, 3, 4], DEFAULT_SETTINGS.clickParts),
    clickFirstBarOnly: flag(from['clickFirstBarOnly'], DEFAULT_SETTINGS.clickFirstBarOnly),
    clickDropOut: dropOut(from['clickDropOut']),
    countInBars: oneOf(from['countInBars'], [0, 1, 2], DEFAULT_SETTINGS.countInBars),
    countEachRound: flag(from['countEachRound'], DEFAULT_SETTINGS.countEachRound),
    strumOn: flag(from['strumOn'], DEFAULT_SETTINGS.strumOn),
    instrument: typeof from['instrument'] === 'string' ? from['instrument'].slice(0, 60) : DEFAULT_SETTINGS.instrument,
    spokenCount: flag(from['spokenCount'], DEFAULT_SETTINGS.spokenCount),
    theme: theme === 'light' || theme === 'dark' ? theme : DEFAULT_SETTINGS.theme,
    letterKeys: flag(from['letterKeys'], DEFAULT_SETTINGS.letterKeys),
    keyLag: typeof keyLag === 'number' && keyLag >= 0 && keyLag <= MAX_LAG ? keyLag : DEFAULT_SETTINGS.keyLag,
    snapTaps: flag(from['snapTaps'], DEFAULT_SETTINGS.snapTaps),
  };
}

function oneOf<T>(value: unknown, allowed: readonly T[], otherwise: T): T {
  return allowed.includes(value as T) ? (value as T) : otherwise;
}

function dropOut(value: unknown): Settings['clickDropOut'] {
  const { sound, of } = (typeof value === 'object' && value !== null ? value : {}) as Record<string, unknown>;
  const whole = (n: unknown): n is number => typeof n === 'number' && Number.isInteger(n) && n >= 1 && n <= 64;
  return whole(sound) && whole(of) && sound < of ? { sound, of } : undefined;
}
