import { msg, str } from '@lit/localize';
import type { Seconds } from '../../music/units.js';
import {
  checkAscending,
  ImportProblem,
  MOST_TIMES,
  NOTHING,
  runsOf,
  type Imported,
  type ListMeaning,
} from './imported.js';
import { readColumns, type ListLine } from './list-columns.js';

/** Times further apart than this, in seconds, are taken for bar lines: 50 bpm. */
const SLOW_BEAT = 1.2;
const TIME = /^(?:(\d{1,3}):)?(?:(\d{1,3}):)?(\d{1,6}(?:[.,]\d{1,20})?(?:e[+-]?\d{1,2})?)$/;

interface Line extends ListLine {
  readonly line: number;
}

interface Row {
  readonly time: Seconds;
  /** The beat's number in its bar, where one is written. */
  readonly beat?: number | undefined;
  readonly line: number;
}

/**
 * Reads a plain list of times, a line each: seconds ("12.53") or minutes ("1:02.5"), perhaps with the beat's number in
 * its bar behind it ("12.53 1"), 1 being a bar line, or with its end and a label ("12.53 13.1 1"). Empty lines and those that begin with # are passed over. Tables of
 * bars and of beats that were exported as CSV are read too. Throws ImportProblem.
 */
export function readList(text: string, meaning: ListMeaning): Imported {
  const lines = text.split(/\r\n|[\r\n]/);
  const head = lines[0]?.split(',').map((cell) => cell.trim().toLowerCase()) ?? [];
  if (head.includes('start') && head.includes('kind')) return readBarTable(lines, head);
  if (head.includes('time') && head.includes('beat')) return readBeatTable(lines, head);
  const rows = lines.flatMap((line, i): Line[] => readLine(line, i + 1));
  if (rows.length < 2)
    throw new ImportProblem(
      rows.length === 0
        ? msg('Found no time. Write at least two, a line each, in seconds or minutes: 12.53 or 1:02.5.')
        : msg('Found one time. Write at least two, a line each, in seconds or minutes: 12.53 or 1:02.5.'),
    );
  if (rows.length > MOST_TIMES)
    throw new ImportProblem(
      msg(str`Found ${rows.length} times; at most ${MOST_TIMES} are read. Choose those of one song.`),
    );
  const { beats, end, left } = readColumns(rows);
  const found = fromRows(
    rows.map(({ time, line }, i) => ({ time, line, beat: beats[i] })),
    meaning,
    end,
  );
  return left === undefined ? found : { ...found, left };
}

/** `end`: of the last bar, where it is known. */
function fromRows(rows: readonly Row[], meaning: ListMeaning, end?: Seconds): Imported {
  const times = rows.map(({ time }) => time);
  checkAscending(times, (i) => msg(str`Line ${rows[i]?.line}`));
  const numbered = rows.filter(({ beat }) => beat !== undefined).length;
  if (numbered > 0 && numbered < rows.length) {
    const bare = rows.find(({ beat }) => beat === undefined);
    throw new ImportProblem(
      msg(
        str`Line ${bare?.line} has no number of a beat, and others have. Write one behind each time, or behind none.`,
      ),
    );
  }
  if (numbered > 0) {
    const downbeats = rows.filter(({ beat }) => beat === 1).map(({ time }) => time);
    return { ...NOTHING, from: msg('list of beats'), runs: runsOf(times, downbeats) };
  }
  if (meaning === 'bars' || (meaning === 'guess' && usualGap(times) > SLOW_BEAT))
    return { ...NOTHING, from: msg('list of bars'), barLines: end === undefined ? times : [...times, end] };
  return { ...NOTHING, from: msg('list of beats'), runs: runsOf(times, []) };
}

function usualGap(times: readonly Seconds[]): Seconds {
  const gaps = times.slice(1).map((time, i) => time - (times[i] as number));
  return gaps.sort((a, b) => a - b)[Math.floor(gaps.length / 2)] ?? 0;
}

function readLine(line: string, number: number): Line[] {
  const plain = line.trim();
  if (plain === '' || plain.startsWith('#')) return [];
  // A comma parts two columns where a blank or another comma shows that it is no decimal one.
  const [first = '', ...behind] = plain.split(/\s*[;\t]\s*|\s*,\s+|\s+|,(?=.*,)|(?<=\.\d+),/);
  const time = readTime(first);
  if (time === undefined)
    throw new ImportProblem(
      msg(
        str`Line ${number}: found "${plain.slice(0, 40)}". Write a time in seconds or minutes, 12.53 or 1:02.5, and perhaps the beat's number behind it.`,
      ),
    );
  const second = readTime(behind[0] ?? '');
  return [{ time, line: number, behind, ...(second === undefined ? {} : { second }) }];
}

/** Seconds; undefined when the text is no time. */
export function readTime(text: string): Seconds | undefined {
  const [, first, second, rest = ''] = TIME.exec(text) ?? [];
  if (rest === '') return undefined;
  const [hours, minutes] = second === undefined ? [0, Number(first ?? 0)] : [Number(first), Number(second)];
  return hours * 3600 + minutes * 60 + Number(rest.replace(',', '.'));
}

function readBarTable(lines: readonly string[], head: readonly string[]): Imported {
  const rows = tableRows(lines, head, ['start', 'kind', 'end']);
  const bars = rows.filter(({ cells }) => cells[1] !== 'pickup' && cells[1] !== 'free');
  const starts = bars.map(({ cells, line }) => timeIn(cells[0], line));
  const last = bars.at(-1);
  const ends = last?.cells[2] ? [timeIn(last.cells[2], last.line)] : [];
  const barLines = [...starts, ...ends];
  checkAscending(barLines, (i) => msg(str`Line ${bars[i]?.line ?? last?.line}`));
  if (barLines.length < 2) throw new ImportProblem(msg('The table has no bars. Choose one with a row for each bar.'));
  return { ...NOTHING, from: msg('table of bars'), barLines };
}

function readBeatTable(lines: readonly string[], head: readonly string[]): Imported {
  const rows = tableRows(lines, head, ['time', 'beat']);
  const beats = rows.map(({ cells, line }): Row => ({ time: timeIn(cells[0], line), beat: Number(cells[1]), line }));
  if (beats.length < 2) throw new ImportProblem(msg('The table has no beats. Choose one with a row for each beat.'));
  return { ...fromRows(beats, 'beats'), from: msg('table of beats') };
}

interface TableRow {
  readonly cells: readonly string[];
  readonly line: number;
}

/** The wanted columns of each row; those stand before any that may hold a comma. */
function tableRows(lines: readonly string[], head: readonly string[], wanted: readonly string[]): TableRow[] {
  const places = wanted.map((name) => head.indexOf(name));
  return lines.slice(1, MOST_TIMES + 1).flatMap((line, i): TableRow[] => {
    if (line.trim() === '') return [];
    const cells = line.split(',');
    return [{ cells: places.map((place) => cells[place]?.trim() ?? ''), line: i + 2 }];
  });
}

function timeIn(cell: string | undefined, line: number): Seconds {
  const time = readTime(cell ?? '');
  if (time === undefined)
    throw new ImportProblem(
      msg(
        str`Line ${line}: found "${cell?.slice(0, 40)}" where a time should be. Write it in seconds or minutes: 12.53 or 1:02.5.`,
      ),
    );
  return time;
}
