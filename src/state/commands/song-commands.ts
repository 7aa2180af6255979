import type { Command } from './command.js';
import { ask } from './ask.js';
import { hasSong, mapOf } from './targets.js';

export const SONG_COMMANDS: readonly Command[] = [
  {
    id: 'open-file',
    label: 'Open a recording or a project…',
    key: { key: 'o', mod: true },
    scope: 'everywhere',
    group: 'song',
    allowed: () => true,
    run: (session) => session.chooseFile(),
  },
  {
    id: 'undo',
    label: 'Undo',
    key: { key: 'z', mod: true },
    scope: 'everywhere',
    group: 'song',
    allowed: (session) => session.song.value?.undoLabel !== undefined,
    run: (session) => session.undo(),
  },
  {
    id: 'redo',
    label: 'Do again',
    key: { key: 'z', mod: true, shift: true },
    otherKeys: [{ key: 'y', mod: true }],
    scope: 'everywhere',
    group: 'song',
    allowed: (session) => session.song.value?.redoLabel !== undefined,
    run: (session) => session.redo(),
  },
  {
    id: 'retitle',
    label: 'Title…',
    scope: 'everywhere',
    group: 'song',
    allowed: hasSong,
    run: (session) => {
      ask(session, {
        kind: 'title',
        label: 'Title of the song',
        value: mapOf(session)?.title ?? '',
        choices: [],
        check: (text) => (text.trim() ? undefined : 'Type a title.'),
        take: (text) => session.retitle(text),
      });
    },
  },
  {
    id: 'save-project',
    label: 'Save as a project file, with the recording',
    key: { key: 's', mod: true },
    scope: 'everywhere',
    group: 'song',
    allowed: (session) => session.song.value?.hasAudio === true,
    run: (session) => session.saveProject(true),
  },
  {
    id: 'save-project-bare',
    label: 'Save as a project file, without the recording',
    key: { key: 's', mod: true, shift: true },
    scope: 'everywhere',
    group: 'song',
    allowed: hasSong,
    run: (session) => session.saveProject(false),
  },
  {
    id: 'save-jams',
    label: 'Export as JAMS (music annotation)',
    scope: 'everywhere',
    group: 'song',
    allowed: hasSong,
    run: (session) => session.exportFile('jams'),
  },
  {
    id: 'files',
    label: 'Export and import…',
    scope: 'everywhere',
    group: 'song',
    allowed: hasSong,
    run: (session) => {
      session.view.files.value = true;
    },
  },
  {
    id: 'choose-recording',
    label: 'Choose the recording of this song…',
    scope: 'everywhere',
    group: 'song',
    allowed: (session) => session.song.value?.hasAudio === false,
    run: (session) => session.chooseRecording(),
  },
  {
    id: 'analyse-anew',
    label: 'Analyse anew…',
    scope: 'everywhere',
    group: 'song',
    allowed: (session) => session.song.value?.hasAudio === true && session.task.value === undefined,
    run: (session) => session.analyseAnew(),
  },
  {
    id: 'close-song',
    label: 'Close the song',
    scope: 'everywhere',
    group: 'song',
    allowed: hasSong,
    run: (session) => session.closeSong(),
  },
];
