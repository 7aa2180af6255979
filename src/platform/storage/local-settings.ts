import type { SettingsPort } from '../../app/kit/ports.js';

const KEY = 'barwright.settings';

/** Settings in local storage; where there is none, or it is forbidden or full, they last as long as the page. */
export function localSettings(): SettingsPort {
  return {
    read: () => {
      try {
        const text = localStorage.getItem(KEY);
        return text === null ? undefined : (JSON.parse(text) as unknown);
      } catch {
        return undefined;
      }
    },
    write: (value) => {
      try {
        localStorage.setItem(KEY, JSON.stringify(value));
      } catch {
        // Nothing of the user's work is in the settings.
      }
    },
  };
}
