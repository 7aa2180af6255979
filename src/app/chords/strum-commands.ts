import { msg } from '@lit/localize';
import type { Command } from '../kit/session.js';
import { hasSong, onBars } from '../map/targets.js';

/** How sections are strummed. */
export const STRUM_COMMANDS: readonly Command[] = [
  {
    id: 'strum-edit',
    label: msg('Strum pattern of the section…'),
    key: { key: 'p' },
    ...onBars('sections'),
    run: ({ view }) => {
      view.workspace.value = 'play';
      view.panel.value = 'strum';
    },
  },
  {
    id: 'strum-heard',
    label: msg('Strum heard, or not'),
    scope: 'everywhere',
    group: 'play',
    allowed: hasSong,
    run: ({ settings, say }) => {
      const strumOn = !settings.value.strumOn;
      settings.value = { ...settings.value, strumOn };
      say({ kind: 'info', text: strumOn ? msg('Strum patterns are heard.') : msg('Strum patterns are not heard.') });
    },
  },
];
