import { afterEach, describe, expect, it, vi } from 'vitest';
import { DEFAULT_SETTINGS, readSettings } from '../../../src/app/kit/settings.js';
import { localSettings } from '../../../src/platform/storage/local-settings.js';

afterEach(() => {
  vi.unstubAllGlobals();
});

describe('settings', () => {
  it('start modestly', () => {
    expect(DEFAULT_SETTINGS.recordingLevel).toBeLessThanOrEqual(0.5);
    expect(DEFAULT_SETTINGS.clickLevel).toBeLessThanOrEqual(0.5);
    expect(readSettings(undefined)).toEqual(DEFAULT_SETTINGS);
  });

  it('come back as they were kept', () => {
    const own = { ...DEFAULT_SETTINGS, theme: 'dark', keyLag: 0, letterKeys: false, clickLevel: 1 };
    expect(readSettings(JSON.parse(JSON.stringify(own)))).toEqual(own);
  });

  it('take defaults for what makes no sense', () => {
    const kept = { recordingLevel: 7, clickLevel: 'loud', theme: 'pink', keyLag: -3, snapTaps: 1, clickOn: null };
    expect(readSettings(kept)).toEqual(DEFAULT_SETTINGS);
    expect(readSettings('nonsense')).toEqual(DEFAULT_SETTINGS);
  });

  it('live in local storage, and only on the page where that is forbidden', () => {
    const shelf = new Map<string, string>();
    vi.stubGlobal('localStorage', {
      getItem: (key: string) => shelf.get(key) ?? null,
      setItem: (key: string, text: string) => shelf.set(key, text),
    });
    localSettings().write({ theme: 'dark' });
    expect(localSettings().read()).toEqual({ theme: 'dark' });
    shelf.set([...shelf.keys()][0]!, '{broken');
    expect(localSettings().read()).toBeUndefined();
    vi.stubGlobal('localStorage', undefined);
    expect(localSettings().read()).toBeUndefined();
    expect(() => localSettings().write({})).not.toThrow();
  });
});
