import { Player } from './audio/player.js';
import { browserDecoder } from './decode/browser.js';
import { noPeers } from './guard/own-origin.js';
import { createSession } from './state/create-session.js';
import type { ClockPort, StoragePort } from './state/ports.js';
import type { Session } from './state/session.js';
import { browserFiles } from './storage/files.js';
import { indexedDbStorage } from './storage/indexed-db.js';
import { localSettings } from './storage/local-settings.js';
import { memoryStorage } from './storage/memory.js';
import { AnalysisClient } from './worker/client.js';
import { browserTracks } from './worker/tracks-client.js';
import './ui/app-shell.js';

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
    storage,
    files: browserFiles(),
    clock,
    settings: localSettings(),
  });
  if (problem) session.say({ kind: 'error', text: problem });
  askBeforeLosing(session);
  const app = document.createElement('bw-app');
  app.session = session;
  document.body.append(app);
}

/** The library, or one that lasts as long as the page where the browser gives no storage. */
async function openStorage(): Promise<{ storage: StoragePort; problem?: string }> {
  try {
    return { storage: await indexedDbStorage() };
  } catch (error) {
    const why = error instanceof Error ? error.message : String(error);
    return {
      storage: memoryStorage(),
      problem: `Songs cannot be kept here, so save them as project files before you close the page. ${why}`,
    };
  }
}

/** Leaving is questioned only while something of the user's is not stored. */
function askBeforeLosing(session: Session): void {
  window.addEventListener('beforeunload', (event) => {
    const song = session.song.value;
    const unsaved = song !== undefined && (song.saved !== 'saved' || session.keeping.value === 'not kept');
    if (unsaved || session.tapping.value) event.preventDefault();
  });
}

noPeers(window);
void start();
