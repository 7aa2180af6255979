import { msg, str } from '@lit/localize';
import { planPlay } from '../../model/play-plan.js';
import type { SongMap } from '../../model/song-map.js';
import type { Core } from '../song/core.js';
import { fileNameFor } from '../kit/file-name.js';
import { DECODE_SHARE, decode, type Tasks } from '../song/tasks.js';
import type { ClipJob, TrackJob } from '../kit/ports.js';
import type { ClipWish } from '../kit/requests.js';
import { countInOf } from '../song/practice-state.js';
import { plainTrack, trackJobs } from './tracks.js';

/** Makes a clip of the play view of the open song and hands it to the user. */
export async function saveClip(core: Core, tasks: Tasks, wish: ClipWish): Promise<void> {
  const desk = core.desk.peek();
  if (!desk) return;
  const { map } = desk;
  const fault = await core.ports.clips.fault(wish.format, wish);
  if (fault) return core.say({ kind: 'error', text: fault });
  const file = wish.sound ? await core.ports.storage.audio(desk.id, map.recording.contentId) : undefined;
  if (wish.sound && !file) {
    core.say({
      kind: 'info',
      text: msg('The recording is not kept here. Choose it again, or make the clip without sound.'),
    });
    return;
  }
  const text = msg('Making a clip');
  await tasks.run(text, async (task) => {
    const pcm = file && (await decode(core, file, map.recording.fileName, task, true)).pcm;
    const from = pcm ? DECODE_SHARE : 0;
    task.show({ text, done: from });
    const { plan, options } = wish.practice ? practised(core, map, pcm?.sampleRate) : plain(map);
    const { shape, background, format } = wish;
    const job: ClipJob = { map, plan, options, shape, background, format };
    const made = await core.ports.clips.make(job, pcm, {
      signal: task.signal,
      report: (done) => task.show({ text, done: from + (1 - from) * done }),
    });
    const [across, up] = shape.split(':') as [string, string];
    const name = fileNameFor(map, ` ${msg(str`${across} by ${up} clip`)}.${format}`);
    core.ports.files.save(name, made);
    const said = msg(str`The clip is saved as "${name}".`);
    const share = msg("Share it only as the recording's owner allows.");
    core.say({ kind: 'info', text: pcm ? `${said} ${share}` : said });
  });
}

function practised(core: Core, map: SongMap, sampleRate = 48_000): Pick<TrackJob, 'plan' | 'options'> {
  const { speed } = core.practice.peek();
  const wish = plainTrack(speed, countInOf(core.settings.peek()));
  return trackJobs(core, map, wish, sampleRate)[0]!;
}

/** The recording as it is, from its first moment, so that the clip can be laid beside a video with its sound. */
function plain(map: SongMap): Pick<TrackJob, 'plan' | 'options'> {
  const click = { on: false, parts: 1, firstBarOnly: false } as const;
  const wish = { speed: 1, countIn: { bars: 0 }, spoken: false, click } as const;
  const planned = planPlay(map, [{ from: 0, until: map.recording.duration }], wish);
  // The lead for the first fade is left out: frame and sound lie where they lie in the recording.
  const [piece] = planned.pieces;
  const plan = { ...planned, pieces: piece ? [{ ...piece, at: 0 }] : [], end: map.recording.duration };
  return { plan, options: { levels: { recording: 1, click: 0, count: 0, strum: 0 }, transpose: 0 } };
}
