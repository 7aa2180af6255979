import { msg } from '@lit/localize';
import { showSounding } from './fingering-actions.js';
import type { Command } from '../kit/session.js';
import { hasSong, mapOf } from '../map/targets.js';

/** How the song is fingered: shapes, capo, key. */
export const FINGERING_COMMANDS: readonly Command[] = [
  {
    id: 'shapes-show',
    label: msg('Chord shapes, capo and easiest key…'),
    key: { key: 'p', shift: true },
    scope: 'everywhere',
    group: 'chords',
    allowed: hasSong,
    run: ({ view }) => {
      view.workspace.value = 'play';
      view.panel.value = 'shapes';
    },
  },
  {
    id: 'capo-view',
    label: msg('Chords as shapes behind the capo, or as they sound'),
    key: { key: 'k', shift: true },
    scope: 'everywhere',
    group: 'chords',
    allowed: (session) => mapOf(session)?.fingered?.capo !== undefined,
    run: (session) => showSounding(session, mapOf(session)?.fingered?.sounding !== true),
  },
];
