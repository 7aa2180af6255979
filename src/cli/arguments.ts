import { parseArgs } from 'node:util';
import { EXPORT_KINDS, type ExportId } from '../export/export-kinds.js';
import type { ListMeaning } from '../project/import/imported.js';

/** What the user asked the command line for. */
export interface Request {
  readonly files: readonly string[];
  /** Where to write what, with {name} for the recording's name; "-" is standard output, for one of them. */
  readonly exports: Readonly<Partial<Record<ExportId, string>>>;
  readonly project?: string;
  /** File of locks (JSON) to solve around. */
  readonly locks?: string;
  /** File of beats or bars worked out elsewhere, how a plain list is meant, and whether it may replace decisions. */
  readonly times?: string;
  readonly timesAre: ListMeaning;
  readonly replace: boolean;
  readonly withAudio: boolean;
  readonly chords: boolean;
  readonly quiet: boolean;
  readonly jobs: number;
}

export type Parsed =
  | { readonly kind: 'run'; readonly request: Request }
  | { readonly kind: 'help' }
  | { readonly kind: 'version' }
  | { readonly kind: 'wrong'; readonly message: string };

export const HELP = `Usage: npm run map -- [options] FILE…     (in a pipe: npm run -s map -- …)

Prints a bar-by-bar map of each recording: tempo, time signature, the form in a sentence, how many bars a chart with
repeats has, one line a section with its bars to scale, bars of another length, and the places worth a listen. FILE is
a recording (WAV, MP3, FLAC, Ogg Vorbis, Opus) or a saved .barwright project.

Options
  --text FILE       write the chart as plain text
  --html FILE       write chart and form as one page that opens anywhere
  --svg FILE        write it as a picture; several pages stand under one another
  --musicxml FILE   write it as MusicXML, for programs that write music
  --midi FILE       write tempo, bars, click, chords and strum as a MIDI file in time with the recording
  --csv FILE        write the bars as a table; --csv-beats FILE the beats
  --vtt FILE        write the bars as captions for a video; --vtt-chords FILE the chords, --vtt-sections FILE the sections
  --jams FILE       write beats, sections, chords, tempo and key as JAMS
  --project FILE    write a project that the browser opens
  --locks FILE      solve around the locks in FILE, a JSON list; times in seconds. The README says what each kind needs:
                    [{"kind": "downbeat", "time": 12.5}, {"kind": "bar-length", "time": 40.1, "beats": 2}]
  --times FILE      take over beats or bars from FILE: JAMS (its chords and sections too), the tempo map of a MIDI file, or
                    a plain list of times, a line each, perhaps with the end and the beat's number in its bar behind it
  --times-are WHAT  what a plain list has: beats or bars (else told by how far apart they are)
  --replace         let --times replace locks, chords and sections that somebody decided in a project
  --with-audio      put the recording into the project
  --chords          print the chords of each section under its bars
  --jobs N          work on N recordings at once (1)
  --quiet           print no map and no progress
  --help, --version

A file that is read is never written, and what is written replaces an old file only when it is whole.
With several recordings FILE needs {name} in it, which stands for the recording's name: --jams "maps/{name}.jams".
For one recording and one FILE, "-" is standard output, instead of the map.
Exit status: 0 all done; 1 something failed, the other recordings were done; 2 the options were wrong.
`;

/** Reads the words of the command line; a wrong one gives a message that names it and says what to write. */
export function parseArguments(words: readonly string[]): Parsed {
  let parsed;
  try {
    parsed = parseArgs({
      args: [...words],
      allowPositionals: true,
      options: {
        ...Object.fromEntries(EXPORT_KINDS.map(({ id }) => [id, { type: 'string' } as const])),
        project: { type: 'string' },
        locks: { type: 'string' },
        times: { type: 'string' },
        'times-are': { type: 'string' },
        replace: { type: 'boolean', default: false },
        'with-audio': { type: 'boolean', default: false },
        chords: { type: 'boolean', default: false },
        quiet: { type: 'boolean', default: false },
        jobs: { type: 'string', default: '1' },
        help: { type: 'boolean', short: 'h', default: false },
        version: { type: 'boolean', default: false },
      },
    });
  } catch (error) {
    return wrong(error instanceof Error ? error.message.replace(/\.? To specify[\s\S]*$/, '') : String(error));
  }
  const { values, positionals: files } = parsed;
  if (values.help) return { kind: 'help' };
  if (values.version) return { kind: 'version' };
  if (files.length === 0) return wrong('no recording named');
  const jobs = Number(values.jobs);
  if (!Number.isInteger(jobs) || jobs < 1 || jobs > 64)
    return wrong(`--jobs takes a whole number from 1 to 64, not "${values.jobs}"`);
  const exports: Partial<Record<ExportId, string>> = {};
  for (const { id } of EXPORT_KINDS) {
    const target = (values as Readonly<Record<string, unknown>>)[id];
    if (typeof target === 'string') exports[id] = target;
  }
  for (const [name, target] of Object.entries({ ...exports, project: values.project })) {
    if (target === '') return wrong(`--${name} needs a file name`);
    if (target === '-' && name === 'project') return wrong('--project cannot go to standard output; name a file');
    if (target !== undefined && target !== '-' && files.length > 1 && !target.includes('{name}')) {
      return wrong(`--${name} ${target} would be written ${files.length} times; put {name} into it`);
    }
  }
  const out = Object.entries(exports).filter(([, target]) => target === '-');
  if (out.length > 1) return wrong(`--${out.map(([name]) => name).join(' and --')} cannot share standard output`);
  if (out.length > 0 && files.length > 1) return wrong(`--${out[0]?.[0]} - takes one recording`);
  if (values.locks === '') return wrong('--locks needs a file name');
  if (values.locks !== undefined && files.length > 1 && !values.locks.includes('{name}'))
    return wrong(`--locks ${values.locks} would go for ${files.length} recordings; put {name} into it`);
  const { times, 'times-are': timesAre = 'guess' } = values;
  if (times === '') return wrong('--times needs a file name');
  if (times !== undefined && files.length > 1 && !times.includes('{name}'))
    return wrong(`--times ${times} would go for ${files.length} recordings; put {name} into it`);
  if (timesAre !== 'guess' && timesAre !== 'beats' && timesAre !== 'bars')
    return wrong(`--times-are takes beats or bars, not "${timesAre}"`);
  if (times === undefined && (values.replace || timesAre !== 'guess'))
    return wrong(`--${values.replace ? 'replace' : 'times-are'} goes with --times`);
  if (values['with-audio'] && values.project === undefined) return wrong('--with-audio goes with --project');
  return {
    kind: 'run',
    request: {
      files,
      exports,
      project: values.project,
      locks: values.locks,
      times,
      timesAre,
      replace: values.replace,
      withAudio: values['with-audio'],
      chords: values.chords,
      quiet: values.quiet || out.length > 0,
      jobs,
    },
  };
}

function wrong(message: string): Parsed {
  return { kind: 'wrong', message: `${message}; --help lists what there is` };
}
