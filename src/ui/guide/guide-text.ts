import type { GuideStep } from '../../state/guide.js';

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
    name: 'Load',
    say: 'Open a recording of the song.',
    command: 'open-file',
    label: 'Choose a recording',
  },
  doubts: {
    name: 'Doubts',
    say: 'Hear the place it is least sure of, then take the reading that is right; or press the number of beats the bar has.',
    command: 'doubt-next',
    label: 'Hear the doubt',
  },
  sections: {
    name: 'Sections',
    say: 'The sections are suggestions: accept them, or name those you know and leave the rest.',
    command: 'section-accept-all',
    label: 'Accept all',
  },
  play: {
    name: 'Play',
    say: 'Play along: open the view for the music stand and press the space bar, slower if you like.',
    command: 'show-play',
    label: 'Open "Play"',
  },
  chart: {
    name: 'Chart',
    say: 'See the page to hand out: print it, or take it along as a file.',
    command: 'show-chart',
    label: 'Open "Chart"',
  },
};

/** When every step is done. */
export const GUIDE_END = {
  say: 'That is the whole way. Everything else is in the menu, and explained in the help.',
  command: 'help-page',
  label: 'Help',
} as const;
