import { msg } from '@lit/localize';
import { barOf } from '../../model/map-queries.js';
import { barNear } from '../map/places.js';
import type { Command } from '../kit/session.js';
import { hasSong, mapOf } from '../map/targets.js';

/** Playing and moving through the song. */
export const PLAY_COMMANDS: readonly Command[] = [
  {
    id: 'play-stop',
    label: msg('Play or stop'),
    key: { key: ' ' },
    scope: 'everywhere',
    group: 'play',
    allowed: (session) => hasSong(session) || session.task.value?.outline !== undefined,
    run: (session) => (session.playing.value ? session.stop() : session.play()),
  },
  {
    id: 'play-from-bar',
    label: msg('Play from this bar'),
    key: { key: 'Enter' },
    scope: 'map',
    group: 'play',
    allowed: hasSong,
    run: (session) => {
      const map = mapOf(session);
      const bar = map && barNear(map, session.view.cursor.value);
      return session.play((map && bar !== undefined ? barOf(map, bar)?.start : undefined) ?? session.view.cursor.value);
    },
  },
  {
    id: 'click-on',
    label: msg('Click on or off'),
    scope: 'everywhere',
    group: 'play',
    allowed: () => true,
    run: ({ settings }) => {
      settings.value = { ...settings.value, clickOn: !settings.value.clickOn };
    },
  },
];
