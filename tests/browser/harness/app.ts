import type { Signal } from '@preact/signals-core';
import type { Notice, OpenSong, Session, Task } from '../../../src/app/kit/session.js';
import '../../../src/app/shell/app-shell.js';
import type { CloseUpView } from '../../../src/app/map/recording-view/close-up.js';
import { flatEvidence } from '../../support/songs.js';
import { fakeSession, songOf } from './fake-session.js';

/** Where a test finds its way: the session, the close-up with its count of drawings, the song's beats. */
export interface Handles {
  readonly session: Session & { readonly log: string[] };
  closeUp(): CloseUpView;
  /** The song as it was, the view at its start, nothing playing, nothing focused; resolves when that is drawn. */
  reset(): Promise<void>;
  /** Puts work under way or a message on the screen. */
  show(news: { readonly task?: Task; readonly notice?: Notice }): void;
}

const verse = 'A Verse: 4 4 4 2 4 4 4? 4 | G E:min C D';
const map = songOf('Kettle Moon', [verse, 'B Chorus: 4 4 4 4 4 4 4 4', verse, 'B Chorus: 4 4 4 4 4 4 4 6'], {
  pickup: 1,
});
const session = fakeSession(map);
const song = session.song as Signal<OpenSong | undefined>;
const task = session.task as Signal<Task | undefined>;
const notice = session.notice as Signal<Notice | undefined>;
Object.assign(session, { dismissNotice: () => (notice.value = undefined) });
const peaks = { rate: 200, data: new Int8Array(Math.ceil(map.end * 200) * 2).map((_, i) => (i % 2 ? 60 : -60)) };
if (song.value) song.value = { ...song.value, peaks, evidence: flatEvidence(map.end) };
const opened = song.value;
const settings = session.settings.value;
const app = document.createElement('bw-app');
app.session = session;
document.body.append(app);

const inside = (element: Element | null | undefined, name: string): Element | null | undefined =>
  element?.shadowRoot?.querySelector(name);

const handles: Handles = {
  session,
  closeUp: () =>
    inside(inside(inside(app, 'bw-song-screen'), 'bw-recording-view'), 'bw-close-up') as unknown as CloseUpView,
  reset: async () => {
    const { view } = session;
    session.stop();
    task.value = undefined;
    notice.value = undefined;
    view.prompt.value = undefined;
    song.value = opened;
    session.settings.value = settings;
    view.selection.value = undefined;
    view.window.value = { from: 0, span: 20 };
    view.cursor.value = map.start;
    session.log.length = 0;
    let focused = document.activeElement;
    while (focused?.shadowRoot?.activeElement) focused = focused.shadowRoot.activeElement;
    if (focused instanceof HTMLElement) focused.blur();
    await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  },
  show: (news) => {
    if ('task' in news) task.value = news.task;
    if ('notice' in news) notice.value = news.notice;
  },
};
Object.assign(window, { handles });
