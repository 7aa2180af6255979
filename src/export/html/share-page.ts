import { msg, str } from '@lit/localize';
import { clockText } from '../../music/clock-text.js';
import { keyText } from '../../music/key.js';
import { beatsOf, meterText } from '../../music/meter.js';
import { numberText } from '../../music/number-text.js';
import { strumArrows } from '../../music/strum.js';
import { DEFAULT_CHART } from '../../model/chart-options.js';
import { formOf } from '../../model/form.js';
import { formSentence } from '../../model/form-words.js';
import { shownMap } from '../../model/shown-chords.js';
import type { SongMap } from '../../model/song-map.js';
import type { PassTable } from '../../model/pass-table.js';
import { tempoSummary } from '../../model/tempo.js';
import { pageSvg } from '../chart/chart-svg.js';
import { layOutChart } from '../chart/layout.js';
import { inMarkup } from '../markup.js';
import { oneLine } from '../one-line.js';

export interface SharePageOptions {
  readonly passes?: readonly PassTable[];
  /** Style sheet text with the bundled faces, so that it looks the same anywhere. */
  readonly faces?: string;
  /** The language of the texts (BCP 47). */
  readonly language?: string;
}

const MOST_TEXT = 500;

/**
 * The chart with the form as one HTML file that stands alone: no script, nothing fetched, no recording; its own policy
 * (Content Security Policy, W3C) forbids both. Prints one chart page a sheet. Texts from users are escaped.
 */
export function sharePage(map: SongMap, { passes, faces = '', language = 'en' }: SharePageOptions = {}): string {
  const layout = layOutChart(map, map.chart ?? DEFAULT_CHART, passes);
  const shown = shownMap(map);
  const title = text(map.title) || text(msg('Song'));
  // The faces stand once in the page, and the drawings call them by name.
  const pages = layout.pages.map((_, page) => `<figure>${pageSvg(layout, page).trim()}</figure>`);
  return [
    '<!doctype html>',
    `<html lang="${inMarkup(language)}">`,
    '<head>',
    '<meta charset="utf-8">',
    `<meta http-equiv="Content-Security-Policy" content="default-src 'none'; style-src 'unsafe-inline'; font-src data:">`,
    '<meta name="viewport" content="width=device-width, initial-scale=1">',
    `<title>${title}</title>`,
    `<style>${faces}${STYLE}@page{size:${points(layout.width)} ${points(layout.height)};margin:0}</style>`,
    '</head>',
    '<body>',
    `<header><h1>${title}</h1>${facts(shown)}</header>`,
    '<main>',
    ...pages,
    '</main>',
    `<section class="form"><h2>${text(msg('Form'))}</h2>${form(shown)}</section>`,
    '</body>',
    '</html>',
    '',
  ].join('\n');
}

function facts(map: SongMap): string {
  const tempo = tempoSummary(map);
  const bpm = Math.round(tempo?.median ?? 0);
  const words = [
    ...(tempo ? [msg(str`about ${bpm} bpm`)] : []),
    meterText(map.prevailing),
    ...(map.key ? [keyText(map.key)] : []),
  ];
  return `<p>${words.map((word) => text(word)).join(', ')}</p>`;
}

/** The form in a sentence, then a row a section: bars, beats, when in the recording, how it is strummed. */
function form(map: SongMap): string {
  const { parts } = formOf(map);
  const sections = parts.filter((part) => part.kind === 'section');
  if (sections.length === 0) return `<p>${text(msg('No bars were found.'))}</p>`;
  const rows = sections.map(({ section, name, letter, bars, beats, from, to }) => {
    const strum = map.sections[section]?.strum;
    const usual = bars * beatsOf(map.prevailing);
    const [count, begin, end] = [numberText(beats, 2), clockText(from), clockText(to)];
    const cells = [
      letter,
      name === letter ? '' : name,
      String(bars),
      beats === usual ? '' : msg(str`${count} beats`),
      msg(str`${begin} to ${end}`),
      strum ? strumArrows(strum) : '',
    ];
    return `<tr>${cells.map((cell) => `<td>${text(cell)}</td>`).join('')}</tr>`;
  });
  const titles = ['', msg('Section'), msg('Bars'), msg('If odd'), msg('In the recording'), msg('Strum')];
  const heads = titles.map((head) => `<th>${text(head)}</th>`);
  return `<p>${text(formSentence(map), 5000)}.</p><table><thead><tr>${heads.join('')}</tr></thead><tbody>${rows.join('')}</tbody></table>`;
}

function text(value: string, most = MOST_TEXT): string {
  return inMarkup(oneLine(value, most));
}

function points(value: number): string {
  return `${Math.round(value * 100) / 100}pt`;
}

const STYLE =
  ':root{color-scheme:light dark}' +
  "body{margin:0 auto;padding:1rem;max-width:60rem;font:1rem/1.5 'Barwright Plain',sans-serif;color:#1d1b18;background:#fbfaf7}" +
  "h1,h2{font-family:'Barwright Music',Georgia,serif;line-height:1.2;margin:0 0 .25rem}" +
  'header p{margin:0 0 1rem}h1,p,td{overflow-wrap:anywhere}' +
  'figure{margin:0 0 1rem}figure svg{display:block;width:100%;height:auto;box-shadow:0 0 0 1px #d8d3c8}' +
  'table{border-collapse:collapse;width:100%;font-variant-numeric:tabular-nums}' +
  'th,td{text-align:left;padding:.2rem .75rem .2rem 0;border-bottom:1px solid #d8d3c8;vertical-align:top}' +
  'td{unicode-bidi:isolate}' +
  '@media(prefers-color-scheme:dark){body{color:#eeeae2;background:#1b1b1d}th,td{border-color:#444}}' +
  '@media print{body{padding:0;max-width:none;background:none}header,.form{display:none}' +
  'figure{margin:0;break-after:page}figure:last-child{break-after:auto}figure svg{box-shadow:none}}';
