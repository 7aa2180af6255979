import { msg } from '@lit/localize';
import type { GuideStep } from '../kit/guide.js';

interface GuideText {
  readonly name: string;
  readonly say: string;
  /** Id of the command that the button runs, and what the button says. */
  readonly command: string;
  readonly label: string;
}

/** What each step is called and says, in a musician's words. */
export const GUIDE_TEXTS: Readonly<Record<GuideStep, GuideText>> = {
  load: {
    name: msg('Load'),
    say: msg('Open a recording of the song.'),
    command: 'open-file',
    label: msg('Choose a recording'),
  },
  doubts: {
    name: msg('Doubts'),
    say: msg(
      'Hear the place it is least sure of, then take the reading that is right; or press the number of beats the bar has.',
    ),
    command: 'doubt-next',
    label: msg('Hear the doubt'),
  },
  sections: {
    name: msg('Sections'),
    say: msg('The sections are suggestions: accept them, or name those you know and leave the rest.'),
    command: 'section-accept-all',
    label: msg('Accept all'),
  },
  play: {
    name: msg('Play'),
    say: msg('Play along: open the view for the music stand and press the space bar, slower if you like.'),
    command: 'show-play',
    label: msg('Open "Play"'),
  },
  chart: {
    name: msg('Chart'),
    say: msg('See the page to hand out: print it, or take it along as a file.'),
    command: 'show-chart',
    label: msg('Open "Chart"'),
  },
};

/** When every step is done. */
export const GUIDE_END = {
  say: msg('That is the whole way. Everything else is in the menu, and explained in the help.'),
  command: 'help-page',
  label: msg('Help'),
} as const;
