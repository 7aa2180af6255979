import { effect } from '@preact/signals-core';
import { beatAt } from '../model/map-queries.js';
import type { Seconds } from '../music/units.js';
import { clicksOf } from './clicks.js';
import type { Core } from './core.js';
import { doubtStretch } from './doubts.js';

/** Playing: what the player hears of the map, the settings and the user. */
export interface Transport {
  position(): Seconds;
  play(from?: Seconds, until?: Seconds): Promise<void>;
  stop(): void;
  hearDoubt(index: number): Promise<void>;
  dispose(): void;
}

export function createTransport(core: Core): Transport {
  const { ports, view, settings } = core;
  const { player } = ports;

  const hearDoubt = async (index: number): Promise<void> => {
    const map = core.map.value;
    const doubt = map?.doubts[index];
    const stretch = map && doubtStretch(map, index);
    if (!map || !doubt || !stretch) return;
    view.cursor.value = doubt.time;
    view.doubt.value = index;
    await start(stretch.from, stretch.until);
  };

  const start = async (from: Seconds, until?: Seconds): Promise<void> => {
    const song = core.desk.value?.song.value;
    if (song && !song.audible) {
      core.say({
        kind: 'info',
        text: song.hasAudio
          ? 'The sound is still being read; it can be played in a moment.'
          : `The recording "${song.map.recording.fileName}" is not here. Choose it to hear the song.`,
      });
      return;
    }
    try {
      await player.play(from, until);
    } catch (error) {
      core.sayError(error);
    }
  };

  const endings = [
    player.onChange((playing) => {
      core.playing.value = playing;
    }),
    effect(() => {
      const map = core.map.value;
      player.setClicks(map ? clicksOf(map) : []);
    }),
    effect(() => {
      const { recordingLevel, clickLevel, clickOn } = settings.value;
      // A doubt is judged by its click, so the click sounds there even when it is off elsewhere.
      player.setLevels({
        recording: recordingLevel,
        click: clickOn || view.doubt.value !== undefined ? clickLevel : 0,
      });
    }),
    effect(() => {
      // Whoever goes elsewhere has left the doubt.
      const cursor = view.cursor.value;
      const map = core.map.peek();
      const doubt = view.doubt.peek();
      if (doubt !== undefined && map?.doubts[doubt]?.time !== cursor) view.doubt.value = undefined;
    }),
    effect(() => ports.settings.write(settings.value)),
  ];

  return {
    position: () => (core.playing.value ? player.position() : view.cursor.value),
    hearDoubt,
    play: async (from, until) => {
      const map = core.map.value;
      const doubt = view.doubt.value;
      if (from === undefined && doubt !== undefined) return hearDoubt(doubt);
      const place = from ?? (map ? view.cursor.value : player.position());
      await start(map && place >= map.end - 0.05 ? map.start : place, until);
    },
    stop: () => {
      if (!core.playing.value) return;
      player.stop();
      const map = core.map.value;
      const place = player.position();
      // Actions land on beats, so the cursor stops on the one that sounded; a doubt keeps its own place.
      if (map && view.doubt.value === undefined) view.cursor.value = beatAt(map, place)?.start ?? place;
    },
    dispose: () => {
      player.stop();
      for (const end of endings) end();
    },
  };
}
