import { msg, str } from '@lit/localize';
import type { Settings } from './session.js';

/** Level (0 to 1) from which the caution is shown. */
const LOUD = 0.8;

/** Whether the set levels are such that the caution about hearing belongs on the screen. */
export function isLoud(settings: Pick<Settings, 'recordingLevel' | 'clickLevel' | 'clickOn'>): boolean {
  return settings.recordingLevel >= LOUD || (settings.clickOn && settings.clickLevel >= LOUD);
}

/** As a slider says it: "40 percent". */
export function levelText(level: number): string {
  return msg(str`${Math.round(level * 100)} percent`);
}
