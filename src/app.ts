import { msg, str } from '@lit/localize';
import { Player } from './platform/audio/player.js';
import { browserDecoder } from './platform/decode/browser.js';
import { noPeers } from './platform/egress/own-origin.js';
import { keepOffline } from './platform/offline/keep-offline.js';
import { browserPages } from './platform/pdf/browser-pages.js';
import { isCancelled } from './app/song/core.js';
import { createSession } from './app/shell/create-session.js';
import type { ClockPort, StoragePort } from './app/kit/ports.js';
import type { Session } from './app/kit/session.js';
import { reasonOf } from './app/kit/words.js';
import { browserFiles } from './platform/storage/files.js';
import { indexedDbStorage } from './platform/storage/indexed-db.js';
import { localSettings } from './platform/storage/local-settings.js';
import { memoryStorage } from './platform/storage/memory.js';
import { languageInUse } from './text/language.js';
import { AnalysisClient } from './platform/worker/client.js';
import { browserClips } from './platform/worker/clip-client.js';
import { browserTracks } from './platform/worker/tracks-client.js';
import './app/shell/app-shell.js';

const clock: ClockPort = {
  now: () => performance.now(),
  date: () => Date.now(),
  after: (ms, task) => {
    const timer = setTimeout(task, ms);
    return () => clearTimeout(timer);
  },
};

async function start(): Promise<void> {
  const { storage, problem } = await openStorage();
  const session = createSession({
    decoder: browserDecoder(),
    analyser: new AnalysisClient(),
    player: new Player(),
    tracks: browserTracks(),
    clips: browserClips(),
    storage,
    files: browserFiles(),
    pages: browserPages(),
    clock,
    settings: localSettings(),
    language: languageInUse(),
    ...(isSecureContext ? {} : { withheld: withheldAt(location) }),
  });
  sayUncaught(session);
  if (problem) session.say({ kind: 'error', text: problem });
  askBeforeLosing(session);
  const app = document.createElement('bw-app');
  app.session = session;
  document.body.append(app);
  await openAgain(session);
  void keepOffline({
    offer: (use) =>
      session.say({
        kind: 'info',
        text: msg('A new version of Barwright is ready. It takes over when you agree, or at the next start.'),
        action: { label: msg('Use it now'), run: use },
      }),
    settle: () => leaveStored(session),
    isIdle: () => session.song.value === undefined && session.task.value === undefined,
  });
}

/** Plain http from another machine: the browser gives a page there no audio thread, no lasting files, no offline use. */
function withheldAt({ origin, protocol, port, pathname }: Location): string {
  const local = `${protocol}//localhost${port ? `:${port}` : ''}${pathname}`;
  return msg(
    str`At this address (${origin}) the browser lets no page play sound or work without a network, and may clear songs, because the connection is not secure: open Barwright by an address that begins with https, or on the machine that serves it as ${local}.`,
  );
}

/** The library, or one that lasts as long as the page where the browser gives no storage. */
async function openStorage(): Promise<{ storage: StoragePort; problem?: string }> {
  try {
    return { storage: await indexedDbStorage() };
  } catch (error) {
    const why = reasonOf(error);
    return {
      storage: memoryStorage(),
      problem: `${msg('Songs cannot be kept here, so save them as project files before you close the page.')} ${why}`,
    };
  }
}

/** Name in the session's storage of the song to open again after a new version has taken over. */
const OPEN_AGAIN = 'barwright-open-again';

/** Waits until everything is stored, so that the page can be loaded again; false, having said so, when that cannot be. */
async function leaveStored(session: Session): Promise<boolean> {
  const song = session.song.value;
  if (session.task.value || (song && (song.saved === 'failed' || session.keeping.value === 'not kept'))) {
    const why = session.task.value
      ? msg('Something is still being worked on: let it end first.')
      : msg('The song is not kept in this browser: save it as a project file first, or your work would be gone.');
    session.say({ kind: 'error', text: `${msg('The new version waits.')} ${why}` });
    return false;
  }
  await session.dispose();
  if (song) sessionStorage.setItem(OPEN_AGAIN, song.id);
  return true;
}

async function openAgain(session: Session): Promise<void> {
  const id = sessionStorage.getItem(OPEN_AGAIN);
  sessionStorage.removeItem(OPEN_AGAIN);
  if (id) await session.openSong(id);
}

/** Leaving is questioned only while something of the user's is not stored, or work is under way that would be lost. */
function askBeforeLosing(session: Session): void {
  window.addEventListener('beforeunload', (event) => {
    const song = session.song.value;
    const unsaved = song !== undefined && (song.saved !== 'saved' || session.keeping.value === 'not kept');
    if (unsaved || session.tapping.value || session.task.value) event.preventDefault();
  });
}

/**
 * The one place for errors that nothing else caught: the user is told, with the way to keep the work. What caused one is not
 * undone, and what is shown stays as it was drawn last, so that the page can be gone on with.
 */
function sayUncaught(session: Session): void {
  const tell = (error: unknown): void => {
    if (isCancelled(error)) return;
    const text = msg(
      str`Something went wrong in the page (${reasonOf(error)}). Your songs are not touched by it. If something here no longer answers, save a project file and reload the page.`,
    );
    if (session.notice.value?.text === text) return;
    const action = { label: msg('Save a project file'), run: () => session.saveProject(true) };
    session.say({ kind: 'error', text, ...(session.song.value ? { action } : {}) });
  };
  window.addEventListener('error', ({ error, message }) => {
    // Not an error: an observer's news is put off to the next frame (CSSWG, Resize Observer, "deliver resize error").
    if (!message.startsWith('ResizeObserver loop')) tell(error ?? message);
  });
  window.addEventListener('unhandledrejection', ({ reason }) => tell(reason));
  // A part of the program that is loaded when it is needed is no longer on the server: another version lies there now.
  window.addEventListener('vite:preloadError', ({ payload }) => {
    payload.name = 'MissingPartProblem';
    payload.message = msg(
      'A part of Barwright could not be loaded: there is no connection, or a newer version has taken its place. Try again, or reload the page; your songs stay.',
    );
  });
}

/** All that can be done where not even the page's own parts could be put together. */
function sayNotStarted(error: unknown): void {
  const words = document.createElement('p');
  words.setAttribute('role', 'alert');
  words.textContent = msg(
    str`Barwright could not start (${reasonOf(error)}). Reload the page; if it happens again, try another browser. Your songs are not touched.`,
  );
  document.body.append(words);
}

noPeers(window);
start().catch(sayNotStarted);
