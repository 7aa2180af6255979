import { msg, str } from '@lit/localize';
import { sideMix } from '../../dsp/side-mix.js';
import { trackCues } from '../../export/track-cues.js';
import { planPlay, type CountIn, type PlayWish } from '../../model/play-plan.js';
import type { SongMap } from '../../model/song-map.js';
import { transposeKey } from '../../music/transpose.js';
import { tempoSummary } from '../../model/tempo.js';
import type { Core } from '../song/core.js';
import { fileNameFor } from '../kit/file-name.js';
import { DECODE_SHARE, decode, type Tasks } from '../song/tasks.js';
import type { TrackJob } from '../kit/ports.js';
import type { TracksWish } from '../kit/requests.js';
import { boundSpeed, instrumentOf, strumShift, wishOf } from '../song/practice-state.js';
import { counted } from '../kit/sentences.js';
import type { speechReader } from './speech.js';

/** Renders practice tracks of the open song and hands them to the user. */
export async function saveTracks(
  core: Core,
  tasks: Tasks,
  readSpeech: ReturnType<typeof speechReader>,
  wish: TracksWish,
): Promise<void> {
  const desk = core.desk.peek();
  if (!desk) return;
  const file = await core.ports.storage.audio(desk.id, desk.map.recording.contentId);
  if (!file) {
    core.say({
      kind: 'info',
      text: msg('The recording is not kept here. Choose it again, then tracks can be made of it.'),
    });
    return;
  }
  const { map } = desk;
  const count = wish.speeds.length;
  const text = count === 1 ? msg('Making a practice track') : msg(str`Making ${count} practice tracks`);
  await tasks.run(text, async (task) => {
    const speaks = wish.announce || core.settings.peek().spokenCount;
    const speech = speaks ? await readSpeech() : undefined;
    const { pcm } = await decode(core, file, map.recording.fileName, task, true);
    const artist = await core.ports.decoder.artist(file);
    const jobs = trackJobs(core, map, wish, pcm.sampleRate, artist);
    task.show({ text, done: DECODE_SHARE });
    const names: string[] = [];
    await core.ports.tracks.make(pcm, jobs, {
      archive: fileNameFor(map, `${wish.called ? ` ${wish.called}` : ''} ${msg('practice tracks')}.zip`),
      ...(speech ? { speech } : {}),
      give: (name, made) => {
        names.push(name);
        core.ports.files.save(name, made);
      },
      signal: task.signal,
      report: (done) => task.show({ text, done: DECODE_SHARE + (1 - DECODE_SHARE) * done }),
    });
    const made = counted(jobs.length, msg('track'), msg('tracks'));
    const saved = names.length === 1 ? msg(str`${made} saved as "${names[0]!}".`) : msg(str`${made} saved one by one.`);
    core.say({
      kind: 'info',
      text: `${saved} ${msg("Share them only as the recording's owner allows.")}`,
    });
  });
}

/** The recording with a click on top, at one speed. */
export function plainTrack(speed: number, countIn: CountIn): TracksWish {
  return { speeds: [speed], countIn, click: true, strum: false, announce: false, format: 'wav' };
}

/** What is to be made of a wish, by the settings and how the song is practised. */
export function trackJobs(
  core: Core,
  map: SongMap,
  wish: TracksWish,
  sampleRate: number,
  artist?: string,
): readonly TrackJob[] {
  const settings = core.settings.peek();
  const practice = core.practice.peek();
  const stretches = wish.stretches ?? [{ from: map.start, until: map.end }];
  const tempo = tempoSummary(map)?.median;
  const { strum: _, ...plain } = wishOf(settings);
  const played: Omit<PlayWish, 'speed'> = {
    ...plain,
    countIn: wish.countIn,
    announce: wish.announce,
    ...(wish.strum ? { strum: instrumentOf(settings), strumShift: strumShift(practice, map) } : {}),
  };
  const full = (level: number): number => Math.min(1, (0.8 * level) / Math.max(0.05, settings.recordingLevel));
  return wish.speeds.map((asked): TrackJob => {
    const speed = boundSpeed(asked);
    // Without a count the file begins with the very first frame that is played.
    const flowing = 'bars' in wish.countIn && wish.countIn.bars === 0;
    const plan = planPlay(map, stretches, { ...played, speed }, { flowing });
    const bpm = tempo ? ` ${msg(str`${Math.round(tempo * speed)} bpm`)}` : '';
    const called = wish.called ? ` ${wish.called}` : '';
    return {
      name: fileNameFor(map, `${called} ${msg(str`${Math.round(speed * 100)} percent`)}${bpm}.${wish.format}`),
      format: wish.format,
      plan,
      cues: trackCues(map, plan, sampleRate, wish.barCues),
      tags: {
        title: `${map.title}${called}${speed === 1 ? '' : `, ${msg(str`${Math.round(speed * 100)} percent`)}`}`,
        ...(artist === undefined ? {} : { artist }),
        ...(tempo ? { bpm: tempo * speed } : {}),
        ...(map.key ? { key: transposeKey(map.key, Math.round(practice.transpose)) } : {}),
        speed,
      },
      options: {
        // A file is played at whatever level its player has: it is made full, the rest in the proportion that is set.
        levels: {
          recording: 0.8,
          click: wish.click ? full(settings.clickLevel) : 0,
          count: full(settings.countLevel),
          strum: full(settings.strumLevel),
        },
        transpose: practice.transpose + practice.cents / 100,
        mix: sideMix(practice.sides),
      },
    };
  });
}
