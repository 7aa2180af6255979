import { msg } from '@lit/localize';

/** A bundled recording as the start page offers it; `file` lies under samples/ beside the page. */
export interface Sample {
  readonly file: string;
  readonly title: string;
  /** Its length and what there is to find in it. */
  readonly about: string;
}

export const SAMPLES: readonly Sample[] = [
  {
    file: 'kites-over-brennick.ogg',
    title: 'Kites over Brennick',
    about: msg('3:24. Small band in 4, about 95 bpm: a pickup, no two verses alike, a long bar before the last chorus'),
  },
  {
    file: 'tarn-at-wendlow.mp3',
    title: 'The Tarn at Wendlow',
    about: msg('3:19. Guitar, flute and cello in 3, about 112 bpm, tuned sharp: some bars held, some cut short'),
  },
];
