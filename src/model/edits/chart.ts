import { msg, str } from '@lit/localize';
import type { ChartOptions } from '../chart-options.js';
import type { SongMap } from '../song-map.js';
import { EditProblem } from './problem.js';

/** Longest line that a section can have on the chart, in characters. */
export const LONGEST_CUE = 200;

/** The chart of the song is written this way from now on. */
export function setChart(map: SongMap, chart: ChartOptions): SongMap {
  return { ...map, chart };
}

/** The user's line for a section on the chart; one of nothing takes it away. Throws EditProblem for one too long. */
export function setCue(map: SongMap, id: string, line: string): SongMap {
  const cue = line.trim().replace(/\s+/g, ' ');
  if (cue.length > LONGEST_CUE) throw new EditProblem(msg(str`A line can have up to ${LONGEST_CUE} characters.`));
  if (!map.sections.some((section) => section.id === id))
    throw new EditProblem(msg('That section is not on the map any more: choose one that is.'));
  return {
    ...map,
    sections: map.sections.map((section) => {
      if (section.id !== id) return section;
      const { cue: _, ...bare } = section;
      return cue === '' ? bare : { ...bare, cue };
    }),
  };
}
