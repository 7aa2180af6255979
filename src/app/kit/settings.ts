import { NEW_GUIDE, readGuide } from './guide.js';
import { FASTEST, SLOWEST } from './practice.js';
import type { HandsFree, KeptLoop, Settings } from './session.js';

/** Playback starts at a modest level and rises only by hand. */
export const DEFAULT_SETTINGS: Settings = {
  recordingLevel: 0.4,
  recordingOn: true,
  clickLevel: 0.3,
  clickOn: true,
  countLevel: 0.3,
  countOn: true,
  strumLevel: 0.2,
  clickParts: 1,
  clickFirstBarOnly: false,
  countInBars: 0,
  countInBeats: 0,
  countEachRound: false,
  strumOn: false,
  instrument: 'ukulele',
  leftHanded: false,
  spokenCount: false,
  theme: 'system',
  letterKeys: true,
  keyLag: 250,
  snapTaps: true,
  pedalBack: 'again',
  pedalOn: 'go on',
  restAfter: 30,
  cautioned: false,
  soundDelay: 0,
  microphoneDelay: 0,
  guide: NEW_GUIDE,
  loops: [],
};

export const HANDS_FREE: readonly HandsFree[] = ['again', 'go on', 'play', 'bar back', 'bar on', 'nothing'];
/** Longest delay of sound or microphone in milliseconds; wireless headphones have up to about 300. */
export const MAX_DELAY = 600;
/** Loops that are kept of all songs. */
export const MOST_LOOPS = 60;

/** Longest lag of a length key in milliseconds. */
const MAX_LAG = 1000;

/** Settings from what was kept; whatever is missing or makes no sense takes its default. */
export function readSettings(kept: unknown): Settings {
  const from = record(kept);
  const level = (value: unknown, otherwise: number): number =>
    typeof value === 'number' && value >= 0 && value <= 1 ? value : otherwise;
  const flag = (value: unknown, otherwise: boolean): boolean => (typeof value === 'boolean' ? value : otherwise);
  const { theme, keyLag, lastBackup } = from;
  return {
    recordingLevel: level(from['recordingLevel'], DEFAULT_SETTINGS.recordingLevel),
    clickLevel: level(from['clickLevel'], DEFAULT_SETTINGS.clickLevel),
    clickOn: flag(from['clickOn'], DEFAULT_SETTINGS.clickOn),
    countLevel: level(from['countLevel'], DEFAULT_SETTINGS.countLevel),
    recordingOn: flag(from['recordingOn'], DEFAULT_SETTINGS.recordingOn),
    countOn: flag(from['countOn'], DEFAULT_SETTINGS.countOn),
    strumLevel: level(from['strumLevel'], DEFAULT_SETTINGS.strumLevel),
    clickParts: oneOf(from['clickParts'], [1, 2, 3, 4], DEFAULT_SETTINGS.clickParts),
    clickFirstBarOnly: flag(from['clickFirstBarOnly'], DEFAULT_SETTINGS.clickFirstBarOnly),
    clickDropOut: dropOut(from['clickDropOut']),
    countInBars: oneOf(from['countInBars'], [0, 1, 2], DEFAULT_SETTINGS.countInBars),
    countInBeats: whole(from['countInBeats'], 0, 16, DEFAULT_SETTINGS.countInBeats),
    countEachRound: flag(from['countEachRound'], DEFAULT_SETTINGS.countEachRound),
    strumOn: flag(from['strumOn'], DEFAULT_SETTINGS.strumOn),
    instrument: typeof from['instrument'] === 'string' ? from['instrument'].slice(0, 60) : DEFAULT_SETTINGS.instrument,
    leftHanded: flag(from['leftHanded'], DEFAULT_SETTINGS.leftHanded),
    spokenCount: flag(from['spokenCount'], DEFAULT_SETTINGS.spokenCount),
    theme: theme === 'light' || theme === 'dark' ? theme : DEFAULT_SETTINGS.theme,
    letterKeys: flag(from['letterKeys'], DEFAULT_SETTINGS.letterKeys),
    keyLag: typeof keyLag === 'number' && keyLag >= 0 && keyLag <= MAX_LAG ? keyLag : DEFAULT_SETTINGS.keyLag,
    snapTaps: flag(from['snapTaps'], DEFAULT_SETTINGS.snapTaps),
    pedalBack: oneOf(from['pedalBack'] as HandsFree, HANDS_FREE, DEFAULT_SETTINGS.pedalBack),
    pedalOn: oneOf(from['pedalOn'] as HandsFree, HANDS_FREE, DEFAULT_SETTINGS.pedalOn),
    restAfter: whole(from['restAfter'], 0, 240, DEFAULT_SETTINGS.restAfter),
    cautioned: flag(from['cautioned'], DEFAULT_SETTINGS.cautioned),
    soundDelay: whole(from['soundDelay'], -MAX_DELAY, MAX_DELAY, DEFAULT_SETTINGS.soundDelay),
    microphoneDelay: whole(from['microphoneDelay'], -MAX_DELAY, MAX_DELAY, DEFAULT_SETTINGS.microphoneDelay),
    guide: readGuide(from['guide']),
    loops: Array.isArray(from['loops']) ? from['loops'].flatMap(keptLoop).slice(0, MOST_LOOPS) : DEFAULT_SETTINGS.loops,
    ...(typeof lastBackup === 'number' && lastBackup > 0 ? { lastBackup } : {}),
  };
}

function whole(value: unknown, least: number, most: number, otherwise: number): number {
  return typeof value === 'number' && value >= least && value <= most ? Math.round(value) : otherwise;
}

function keptLoop(value: unknown): KeptLoop[] {
  const { recording, from, until, other, ladder } = record(value);
  if (typeof recording !== 'string' || !isStretch(from, until)) return [];
  const second = record(other);
  const steps = record(ladder);
  const speed = (n: unknown): n is number => typeof n === 'number' && n >= SLOWEST && n <= FASTEST;
  return [
    {
      recording,
      from: from as number,
      until: until as number,
      ...(isStretch(second['from'], second['until'])
        ? { other: { from: second['from'] as number, until: second['until'] as number } }
        : {}),
      ...(speed(steps['from']) && speed(steps['to']) && whole(steps['rounds'], 2, 40, 0) > 0
        ? { ladder: { from: steps['from'], to: steps['to'], rounds: whole(steps['rounds'], 2, 40, 2) } }
        : {}),
    },
  ];
}

function record(value: unknown): Readonly<Record<string, unknown>> {
  return typeof value === 'object' && value !== null ? (value as Readonly<Record<string, unknown>>) : {};
}

function isStretch(from: unknown, until: unknown): boolean {
  return typeof from === 'number' && typeof until === 'number' && from >= 0 && until > from && until < 1e6;
}

function oneOf<T>(value: unknown, allowed: readonly T[], otherwise: T): T {
  return allowed.includes(value as T) ? (value as T) : otherwise;
}

function dropOut(value: unknown): Settings['clickDropOut'] {
  const { sound, of } = record(value);
  const bars = (n: unknown): n is number => typeof n === 'number' && Number.isInteger(n) && n >= 1 && n <= 64;
  return bars(sound) && bars(of) && sound < of ? { sound, of } : undefined;
}
