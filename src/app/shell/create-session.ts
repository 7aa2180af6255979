import { msg, str } from '@lit/localize';
import { computed, effect } from '@preact/signals-core';
import { addLocks } from '../../model/edits/add-locks.js';
import { BACKUP_ENDING } from '../../project/backup.js';
import { PROJECT_ENDING } from '../../project/project.js';
import type { SongMap } from '../../model/song-map.js';
import { liftLocksById } from '../map/beat-actions.js';
import { analyseAnew } from '../library/analyse-anew.js';
import { ALL_COMMANDS } from './all-commands.js';
import { createBackup, isBackup } from '../library/backup.js';
import { saveClip } from '../practice/clips.js';
import { createCore, type Core } from '../song/core.js';
import { createDoubtFlow } from '../doubts/doubt-flow.js';
import { exportFile } from '../files/export-files.js';
import { importInto, looksLikeTimes, TIMES_FILES } from '../files/import-flow.js';
import { createHandOver, isProject } from '../library/hand-over.js';
import { createGuide } from './guide-state.js';
import { createKeptLoops } from '../practice/kept-loops.js';
import { createLengthKeys } from '../map/length-keys.js';
import { createLibrary } from '../library/library-state.js';
import { createLoading } from '../library/loading.js';
import { createTasks } from '../song/tasks.js';
import { passTables } from '../passes/passes-state.js';
import type { Ports } from '../kit/ports.js';
import { createRest } from '../practice/break-reminder.js';
import type { Session } from '../kit/session.js';
import { speechReader } from '../practice/speech.js';
import { createTiming } from '../practice/timing-state.js';
import { createTapFlow } from '../map/tapping-state.js';
import { saveTracks } from '../practice/tracks.js';
import { createTransport } from '../practice/transport-state.js';

/** What a file chooser offers: recordings, videos with sound, our own projects. */
const RECORDINGS = 'audio/*,video/mp4,video/webm,.flac,.opus,.ogg,.m4a,.mka';

/** Puts the session together from its parts. The list of kept songs arrives soon after. */
export function createSession(ports: Ports): Session {
  const core = createCore(ports);
  const { view } = core;
  const transport = createTransport(core);
  const timing = createTiming(core, transport);
  const endings = [createRest(core), createKeptLoops(core), timing.dispose, leaveWordsBehind(core)];
  const library = createLibrary(core, {
    saveFile: () => attempt(() => handOver.saveProject(true)),
    mapAnew: (audio) => attempt(() => loading.openRecording(audio, true)),
  });
  const tasks = createTasks(core);
  const readSpeech = speechReader(ports);
  const song = computed(() => core.desk.value?.song.value);
  const passes = passTables(core);

  const edit = async (label: string, change: (map: SongMap) => SongMap): Promise<void> => {
    await core.desk.peek()?.edit(label, change);
  };
  const editing = { song, edit, say: core.say, view, settings: core.settings };
  const doubts = createDoubtFlow(core, { edit }, (index) => transport.hearDoubt(index));
  const taps = createTapFlow(core, { edit }, transport);
  const lengths = createLengthKeys(core, transport.position, editing, doubts.follow);
  const anew = (): Promise<void> => analyseAnew(core, tasks);
  const attempt = async (work: () => Promise<void>): Promise<void> => {
    try {
      await work();
    } catch (error) {
      core.sayError(error);
    }
  };
  endings.push(
    effect(() => {
      if (!core.settings.value.spokenCount) return;
      void attempt(async () => ports.player.setSpeech(await readSpeech()));
    }),
  );
  const chooseRecording = (): Promise<void> =>
    attempt(async () => {
      const file = await ports.files.pick(RECORDINGS);
      if (file) await loading.attach(file);
    });
  endings.push(
    ports.player.onCutOff((how) => {
      transport.land();
      const desk = core.desk.peek();
      if (how === 'broken' && desk) {
        desk.set({ audible: false, read: 0 });
        void library.readSound(desk);
      }
      core.say({
        kind: 'info',
        text:
          how === 'broken'
            ? msg(
                'The sound stopped: the sound device is gone or was changed. The recording is read again; then press Play.',
              )
            : msg('The sound was interrupted, by a call perhaps, or another program. Nothing is lost.'),
        ...(how === 'broken' ? {} : { action: { label: msg('Go on from here'), run: () => transport.play() } }),
      });
    }),
  );
  const loading = createLoading(core, library, tasks, {
    analyseAnew: anew,
    chooseRecording,
    hearDoubt: transport.hearDoubt,
  });
  const handOver = createHandOver(core, loading);
  const backup = createBackup(core, library, tasks);

  const openFile = async (file: File): Promise<void> => {
    if (await isBackup(file)) return backup.restore(file, file.name);
    if (looksLikeTimes(file.name)) return importInto(core, file, 'guess');
    return (await isProject(file)) ? handOver.openProject(file) : loading.openRecording(file);
  };
  const starting = attempt(async () => {
    core.keeping.value = await ports.storage.keeping(false);
    await library.refresh();
  });

  const guide = createGuide(core, starting);
  endings.push(guide.dispose);

  return {
    songs: core.songs,
    song,
    map: core.map,
    task: core.task,
    notice: core.notice,
    playing: core.playing,
    settings: core.settings,
    practice: core.practice,
    view,
    keeping: core.keeping,
    withheld: ports.withheld,
    tapping: core.tapping,
    timing,
    guide: guide.guide,
    passes,
    doubtsLeft: computed(() => core.map.value?.doubts.length ?? 0),
    commands: ALL_COMMANDS,
    position: transport.position,
    counting: transport.counting,
    round: transport.round,
    jump: transport.jump,
    edit,
    lock: (label, drafts) => edit(label, (map) => addLocks(map, drafts)),
    openFile: (file) => attempt(() => openFile(file)),
    openSample: (name) => attempt(async () => openFile(await ports.files.sample(name))),
    openSong: (id) => attempt(async () => void (await library.open(id))),
    closeSong: () => void attempt(library.close),
    renameSong: library.rename,
    removeSong: library.remove,
    undo: async () => core.desk.peek()?.undo(),
    redo: async () => core.desk.peek()?.redo(),
    play: transport.play,
    playStretches: transport.playStretches,
    stop: transport.stop,
    saveProject: (withAudio) => attempt(() => handOver.saveProject(withAudio)),
    exportFile: (id) => attempt(() => exportFile(core, id, passes.peek())),
    importTimes: (source, meaning) => importInto(core, source, meaning),
    chooseTimes: (meaning) =>
      attempt(async () => {
        const file = await ports.files.pick(TIMES_FILES);
        if (file) await importInto(core, file, meaning);
      }),
    saveChart: (kind, format) =>
      attempt(async () => (await import('../chart/save-chart.js')).saveChart(core, passes.peek(), kind, format)),
    printChart: () => {
      if (!core.map.peek()) return;
      view.workspace.value = 'chart';
      ports.clock.after(0, () => void attempt(() => ports.pages.print()));
    },
    saveTracks: (wish) => attempt(() => saveTracks(core, tasks, readSpeech, wish)),
    notBackedUp: backup.missing,
    backUp: () => attempt(() => backup.save()),
    restoreBackup: () =>
      attempt(async () => {
        const file = await ports.files.pick(BACKUP_ENDING);
        if (!file) return;
        if (await isBackup(file)) return backup.restore(file, file.name);
        core.say({
          kind: 'error',
          text: msg(str`"${file.name}" is no backup of all songs. Choose a file that ends in ${BACKUP_ENDING}.`),
        });
      }),
    clipFault: (wish) => ports.clips.fault(wish.format, wish),
    saveClip: (wish) => attempt(() => saveClip(core, tasks, wish)),
    attachRecording: loading.attach,
    dismissNotice: () => {
      core.notice.value = undefined;
    },
    closeGuide: guide.close,
    say: core.say,
    retitle: async (title) => {
      const id = core.desk.peek()?.id;
      if (id !== undefined) await library.rename(id, title);
    },
    openProject: handOver.openProject,
    chooseFile: () =>
      attempt(async () => {
        const file = await ports.files.pick(`${RECORDINGS},${PROJECT_ENDING},${BACKUP_ENDING}`);
        if (file) await openFile(file);
      }),
    chooseRecording,
    analyseAnew: anew,
    tap: async (isDownbeat) => {
      if (timing.check.peek()?.running) timing.stroke(0);
      else await taps.tap(isDownbeat);
    },
    endTaps: taps.end,
    lengthKey: lengths.press,
    lengthTarget: lengths.target,
    liftLock: (id) => liftLocksById(editing, [id]),
    nextDoubt: doubts.step,
    hearDoubt: transport.hearDoubt,
    decideDoubt: doubts.decide,
    dispose: async () => {
      tasks.cancel();
      for (const end of endings) end();
      lengths.dispose();
      transport.dispose();
      await starting;
      await library.close();
    },
  };
}

/** What was only told is read when the user goes to another workspace; errors and offers stay. */
function leaveWordsBehind({ view, notice }: Core): () => void {
  return effect(() => {
    void view.workspace.value;
    const said = notice.peek();
    if (said?.kind === 'info' && (said.here || !said.action)) notice.value = undefined;
  });
}
