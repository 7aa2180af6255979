import type { Command } from './command.js';
import { hasSong, onBars } from './targets.js';

/** How sections are strummed. */
export const STRUM_COMMANDS: readonly Command[] = [
  {
    id: 'strum-edit',
    label: 'Strum pattern of the section…',
    key: { key: 'p' },
    ...onBars('sections'),
    run: ({ view }) => {
      view.workspace.value = 'play';
      view.panel.value = 'strum';
    },
  },
  {
    id: 'strum-heard',
    label: 'Strum heard, or not',
    scope: 'everywhere',
    group: 'play',
    allowed: hasSong,
    run: ({ settings, say }) => {
      const strumOn = !settings.value.strumOn;
      settings.value = { ...settings.value, strumOn };
      say({ kind: 'info', text: strumOn ? 'Strum patterns are heard.' : 'Strum patterns are not heard.' });
    },
  },
];
