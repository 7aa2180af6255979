import { trackCues } from '../export/practice-track.js';
import type { PlayStretch } from '../model/play-plan.js';
import { planPlay } from '../model/play-plan.js';
import type { SongMap } from '../model/song-map.js';
import { tempoSummary } from '../model/tempo.js';
import type { Core } from './core.js';
import { fileNameFor } from './hand-over.js';
import { decode, type Tasks } from './tasks.js';
import type { TrackJob } from './ports.js';
import { boundSpeed, countInOf, wishOf } from './practice.js';
import { counted } from './sentences.js';

export interface TracksWish {
  /** One track each: 0.7 is 70 % of the recording's speed. */
  readonly speeds: readonly number[];
  readonly click: boolean;
  /** What is played, in order; the whole song without. */
  readonly stretches?: readonly PlayStretch[];
  /** What is added to the name: the arrangement's. */
  readonly called?: string;
}

/** Renders practice tracks of the open song and hands them to the user. */
export async function saveTracks(core: Core, tasks: Tasks, wish: TracksWish): Promise<void> {
  const desk = core.desk.peek();
  if (!desk) return;
  const file = await core.ports.storage.audio(desk.id, desk.map.recording.contentId);
  if (!file) {
    core.say({ kind: 'info', text: 'The recording is not kept here. Choose it again, then tracks can be made of it.' });
    return;
  }
  const { map } = desk;
  const text = wish.speeds.length === 1 ? 'Making a practice track' : `Making ${wish.speeds.length} practice tracks`;
  await tasks.run(text, async (task) => {
    const { pcm } = await decode(core, file, map.recording.fileName, task);
    const jobs = trackJobs(core, map, wish, pcm.sampleRate);
    task.show({ text, done: 0.3 });
    const made = await core.ports.tracks.make(pcm, jobs, {
      signal: task.signal,
      report: (done) => task.show({ done: 0.3 + 0.7 * done }),
    });
    const name = jobs.length === 1 ? jobs[0]!.name : fileNameFor(map, ' practice tracks.zip');
    core.ports.files.save(name, made);
    core.say({
      kind: 'info',
      text: `${counted(jobs.length, 'track')} saved as "${name}". Share them only as the recording's owner allows.`,
    });
  });
}

function trackJobs(core: Core, map: SongMap, wish: TracksWish, sampleRate: number): readonly TrackJob[] {
  const settings = core.settings.peek();
  const practice = core.practice.peek();
  const stretches = wish.stretches ?? [{ from: map.start, until: map.end }];
  const tempo = tempoSummary(map)?.median;
  return wish.speeds.map((asked): TrackJob => {
    const speed = boundSpeed(asked);
    const plan = planPlay(map, stretches, { ...wishOf(settings), speed, countIn: countInOf(settings) });
    const bpm = tempo ? ` ${Math.round(tempo * speed)} bpm` : '';
    return {
      name: fileNameFor(map, `${wish.called ? ` ${wish.called}` : ''} ${Math.round(speed * 100)} percent${bpm}.wav`),
      plan,
      cues: trackCues(map, plan, sampleRate),
      options: {
        // A file is played at whatever level its player has: it is made full, the click in the proportion that is set.
        levels: {
          recording: 0.8,
          click: wish.click ? share(settings.clickLevel, settings.recordingLevel) : 0,
          count: share(settings.countLevel, settings.recordingLevel),
          strum: share(settings.strumLevel, settings.recordingLevel),
        },
        transpose: practice.transpose + practice.cents / 100,
      },
    };
  });
}

function share(level: number, recording: number): number {
  return Math.min(1, (0.8 * level) / Math.max(0.05, recording));
}
